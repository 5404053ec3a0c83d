import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import type { Source } from '../../src/text/text.js';

const folder = fileURLToPath(new URL('../../examples/', import.meta.url));

/** Every circuit and readings file in YAML among the examples. */
export const examples: readonly Source[] = readdirSync(folder, { recursive: true, encoding: 'utf8' })
  .filter((name) => /\.(?:circuit|readings)\.yaml$/.test(name))
  .map((name) => ({ name, text: readFileSync(folder + name, 'utf8') }));

/** Ways to write something, set apart by ¦; a doubtful one comes up once for `weight` usual ones. */
function mostly(usual: string, doubtful: string, weight: number): fc.Arbitrary<string> {
  return fc.oneof({ arbitrary: oneOf(usual), weight }, { arbitrary: oneOf(doubtful), weight: 1 });
}

function oneOf(written: string): fc.Arbitrary<string> {
  return fc.constantFrom(...written.split('¦'));
}

const scalar = mostly(
  'a¦CTL.4¦120 V¦40 Ω¦µ¦a b¦it\'s¦x#y¦x:y¦http://x/y¦12:30¦x¦a"b¦a\\b¦0¦-5¦+5¦1.5¦.5¦5.¦010¦1e3¦-1.5E-3¦-0¦-0.0¦' +
    '12345678901234567890¦0x10¦0o17¦.inf¦-.INF¦.nan¦1e999¦-1e999¦1_000¦1.2.3¦+¦_¦(x)¦~¦~x¦=¦/¦null¦Null¦NULL¦nUll¦' +
    "true¦True¦TRUE¦false¦yes¦no¦on¦off¦2001-01-01¦''¦'x'¦'it''s'¦''''¦'# [x]: \"y\"'¦\"\"¦\"x\"¦\"it's: # {y}\"¦" +
    '"  "¦" x "¦"é"¦[]¦{}',
  '¦x, y¦"a\\nb"¦"\\u0041"¦"\\q"¦"¦\'¦\'x\'\'¦"x" y¦"x"y¦\'x\'#c¦@x¦`x`¦%x¦|¦>-¦&x¦&x y¦*x¦!x¦!x y¦!!str 1¦? x¦?x¦?¦-¦' +
    '- x¦--¦---¦--- x¦...¦... x¦: x¦:x¦:¦<<¦<<<<<<< x¦<x¦>x¦#x¦x #y¦x\ty¦\tx¦x\t¦x: y¦x:¦x :y¦, x¦x]¦[x¦{x¦x}¦{x}¦' +
    '{x, y: }¦[x: y]¦[,]¦[x,]¦[x,,y]¦[-]¦[- x]¦{a:1}¦{"a":1}¦{a: [1]}¦{ a: 1, a: 2 }¦{ ? a: 1 }¦[a:]¦{a:,b: 1}¦-x¦' +
    '-.5¦.x¦-é¦e\u0301¦\u{1f600}¦\ufeffx¦\u00a0¦\u0085¦\u2028¦x\n  y¦x\n\n y¦"x\n  y"¦[x,\n y]¦[\nx\n]¦{ a:\n    1 }¦' +
    '[ # c\n    x ]¦[x,# c\n  y]¦[x\n# c\n ]',
  80,
);
const key = mostly(
  'a¦b¦c¦d¦e¦f¦x y¦B1¦1¦2¦-1¦true¦~¦a.b¦x/y¦é¦__proto__¦"q"¦\'r s\'',
  '""¦e\u0301¦<<¦? a¦&x a¦- a¦[a]¦{a: b}¦"a\\n"¦a:¦#a¦¦x #¦?¦---¦a, b¦[a¦...',
  250,
);
const colon = mostly(':', ' :¦:\t¦¦::', 400);
const blank = mostly(' ', '  ¦\t¦', 150);
const tail = mostly('¦¦¦¦ # c¦  ¦   # c: [x', '#c¦ #¦\t¦ x¦ # é\t¦,¦ :', 250);
const between = mostly(
  '¦¦¦¦\n¦\n# c¦\n    # c: x¦\n\n  ¦\n #¦\n# c\n',
  '\n\t¦\n\t# c¦\n---¦\n...¦\nx¦\n<<<<<<< x',
  250,
);
const gap = mostly(
  '¦¦¦¦¦ ¦  ¦\n            ¦ # c\n\n              ',
  '\n   ¦\n¦\n# c\n   ¦\n  # c\n      ¦#c\n            ¦\t',
  60,
);
const last = mostly('¦¦¦,', ', ,¦ ,\n', 100);
const slip = mostly('0', '-1¦1¦2', 200).map(Number);

/** Up to so many entries, mostly of different keys. */
function several<T>(one: fc.Arbitrary<T>, keyOf: (entry: T) => string, minLength: number): fc.Arbitrary<T[]> {
  const different = fc.uniqueArray(one, { selector: keyOf, minLength, maxLength: 5 });
  return fc.oneof(
    { arbitrary: different, weight: 40 },
    { arbitrary: fc.array(one, { minLength, maxLength: 3 }), weight: 1 },
  );
}

function inFlow(entries: readonly (readonly string[])[], end: string): string {
  return entries.length === 0 ? '' : entries.map((pieces) => pieces.join('')).join(', ') + end;
}

const flow: fc.Arbitrary<string> = fc.letrec<Record<'value' | 'list' | 'map', string>>((tie) => ({
  value: fc.oneof({ maxDepth: 2, depthSize: 'xsmall' }, scalar, tie('list'), tie('map')),
  list: fc
    .tuple(gap, fc.array(fc.tuple(tie('value'), gap), { maxLength: 4 }), last, gap)
    .map(([start, items, end, close]) => `[${start}${inFlow(items, end)}${close}]`),
  map: fc
    .tuple(
      gap,
      several(fc.tuple(key, colon, blank, tie('value'), gap), ([name]) => name, 0),
      last,
      gap,
    )
    .map(([start, pairs, end, close]) => `{${start}${inFlow(pairs, end)}${close}}`),
})).value;

/** A value as it is written from a column on. */
interface Written {
  readonly isBlock: boolean;
  readonly from: (column: number) => string;
}

const spaces = (column: number) => ' '.repeat(Math.max(0, column));

function entry(value: fc.Arbitrary<Written>) {
  return fc.record({ key, colon, blank, tail, between, slip, step: fc.constantFrom(0, 1, 2, 4), value });
}
type Entry = ReturnType<typeof entry> extends fc.Arbitrary<infer T> ? T : never;

/** Behind a colon or dash at `column`: on the same line, or below it. */
function behind({ blank, tail, between, step, value }: Entry, column: number, offset: number): string {
  if (!value.isBlock || (offset > 0 && step < 2)) return blank + value.from(column + offset + blank.length);
  return `${tail}${between}\n${spaces(column + step)}${value.from(column + step)}`;
}

function lines(entries: readonly Entry[], column: number, write: (entry: Entry) => string): string {
  return entries
    .map((each, index) => (index === 0 ? '' : `${each.between}\n${spaces(column + each.slip)}`) + write(each))
    .join('');
}

const block = fc.letrec<Record<'value' | 'inline' | 'list' | 'map', Written>>((tie) => ({
  value: fc.oneof({ maxDepth: 3, depthSize: 'xsmall' }, tie('inline'), tie('map'), tie('list')),
  inline: fc.tuple(flow, tail).map(([text, end]) => ({ isBlock: false, from: () => text + end })),
  map: several(entry(tie('value')), ({ key: name }) => name, 1).map((entries) => ({
    isBlock: true,
    from: (column) => lines(entries, column, (each) => each.key + each.colon + behind(each, column, 0)),
  })),
  list: fc.array(entry(tie('value')), { minLength: 1, maxLength: 4 }).map((entries) => ({
    isBlock: true,
    from: (column) => lines(entries, column, (each) => `-${behind(each, column, 1)}`),
  })),
}));

const lineEnd = fc.constantFrom(...Array<string>(12).fill('\n'), '\r\n', '\r\n', '\r\n', '\r');
const start = mostly('¦¦¦¦# c\n¦---\n¦\n', '--- # c\n¦---¦ ¦%YAML 1.2\n---\n¦# c\n---\n', 30);

/** A document in one of many styles, mostly everyday ones, with an odd thing here and there. */
export const documents: fc.Arbitrary<string> = fc
  .tuple(start, block.map, between, lineEnd)
  .map(([head, root, end, newline]) => `${head}${root.from(0)}${end}\n`.replaceAll('\n', newline));

const piece = oneOf(
  " ¦  ¦\n¦\n  ¦\n    ¦\n- ¦\n  - ¦- ¦: ¦:¦, ¦,¦[¦]¦{¦}¦\"¦'¦\na: ¦\n  b: ¦\nc:¦# c¦ # c¦a¦b c¦1¦-1¦~¦null¦''¦" +
    '"q": 1¦{ a: 1 }¦[a]¦\t¦\r¦\r\n¦---¦...¦? ¦&a ¦*a¦!t ¦%¦|¦>¦@¦`¦\\¦<<: ¦é¦.¦-',
);

/** Pieces of YAML in a row. */
export const pieces: fc.Arbitrary<string> = fc
  .tuple(oneOf('¦a: ¦a:\n¦a: [¦a: {¦a:\n - '), fc.array(piece, { maxLength: 20 }))
  .map(([head, tail]) => head + tail.join(''));

const edit = fc.tuple(
  oneOf('cut¦put¦put¦swap¦drop line¦repeat line¦indent¦outdent'),
  fc.nat(),
  fc.nat(),
  oneOf('\n¦ ¦\t¦:¦#¦[¦]¦{¦}¦,¦"¦\'¦-¦?¦&¦*¦!¦|¦>¦%¦@¦`¦\\¦~¦x¦1¦\r¦: ¦ #¦\n  ¦\n# c\n¦- ¦é¦\n- x\n'),
);

/** Some lines of an example (or, for `whole`, all of them) with some slips of the keyboard. */
export function slips(whole: boolean): fc.Arbitrary<string> {
  return fc
    .tuple(
      fc.constantFrom(...examples),
      fc.nat(),
      fc.integer({ min: 1, max: 12 }),
      fc.array(edit, { minLength: 1, maxLength: 3 }),
    )
    .map(([{ text }, from, count, edits]) => {
      const all = text.split('\n');
      const first = from % all.length;
      return edits.reduce(edited, whole ? text : all.slice(first, first + count).join('\n'));
    });
}

function edited(text: string, [what, where, other, put]: [string, number, number, string]): string {
  const at = where % (text.length + 1);
  if (what === 'cut') return text.slice(0, at) + text.slice(at + 1);
  if (what === 'put') return text.slice(0, at) + put + text.slice(at);
  if (what === 'swap') return text.slice(0, at) + put + text.slice(at + 1);
  const all = text.split('\n');
  const line = where % all.length;
  const written = all[line] ?? '';
  if (what === 'drop line') all.splice(line, 1);
  if (what === 'repeat line') all.splice(other % all.length, 0, written);
  if (what === 'indent') all[line] = ` ${written}`;
  if (what === 'outdent') all[line] = written.replace(/^ /, '');
  return all.join('\n');
}
