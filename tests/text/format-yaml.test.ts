import { inspect } from 'node:util';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseDocument, visit } from 'yaml';
import { formatYaml } from '../../src/text/format-yaml.js';
import { readYaml } from '../../src/text/read-yaml.js';
import { formatCircuit, limits, readCircuitFile } from '../../src/text/text.js';
import { circuitOf } from '../circuit/open.js';
import { exampleCircuits } from '../cli/example-files.js';
import { documents, examples, pieces, slips } from './everyday-yaml-texts.js';

const most = { ...limits, bytes: limits.circuitBytes };

/** Undefined for what can't be read, or is no map: no file of ours is. */
function dataOf(text: string): string | undefined {
  const { document } = readYaml({ name: 'a.yaml', text }, most);
  return typeof document?.data !== 'object' || document.data === null
    ? undefined
    : inspect(document.data, { depth: null, maxArrayLength: null });
}

/** Each comment, in order, as another reader of YAML finds them: the parser under test is not asked. */
function commentsOf(text: string): readonly string[] {
  const quoted: [number, number][] = [];
  visit(parseDocument(text.replace(/\r\n?/g, '\n'), { uniqueKeys: false }), {
    Scalar: (_key, { range, type }) => {
      if (range && type !== 'PLAIN') quoted.push([range[0], range[1]]);
    },
  });
  return [...text.replace(/\r\n?/g, '\n').matchAll(/(?<=^|[ \t])#.*$/gm)]
    .filter(({ index }) => !quoted.some(([from, to]) => index > from && index < to))
    .map(([comment]) => comment.trimEnd());
}

describe('the layout', () => {
  test.each(examples)('of $name is the one we write ourselves', ({ text }) => {
    expect(formatYaml(text)).toBe(text);
  });

  test('of anything else, sign for sign', () => {
    const written = `

# one


loadside:   circuit/1   # kind
title: "quoted"
supplies:
    M:  {system: dc,voltage: 0x10,   "a":1e3, rest: [a,b ,], none: {  }}
      # trailing

# about loads

loads: # the loads
    A:
        kind :   lamp


        between: [ A.1,A.2 ]
    # end of loads
about:   >-   # folded
      folded

        more
text: |
    one
   # not of the text
list:
- - a
  -   b
-   - |2
       kept
    -  c
conditions:
 {
 door: { values: [a,

     b] } , # x
  # y
 } # z
long: runs
   over lines

   with a gap
quoted: "a\\
     b\\
     \\ c   \n  d"
wires:
- {from: A, to: B}
# before C
-   from: C
    to: D
  # the end`;
    expect(formatYaml(written)).toBe(`# one

loadside: circuit/1 # kind
title: "quoted"
supplies:
  M: { system: dc, voltage: 0x10, "a": 1e3, rest: [a, b], none: {} }
  # trailing

# about loads

loads: # the loads
  A:
    kind: lamp

    between: [A.1, A.2]
  # end of loads
about: >- # folded
  folded

    more
text: |
  one
# not of the text
list:
  - - a
    - b
  - - |2
       kept
    - c
conditions:
  {
    door: { values: [a,

        b] }, # x
    # y
  } # z
long: runs
  over lines

  with a gap
quoted: "a\\
  b\\
  \\ c
  d"
wires:
  - { from: A, to: B }
  # before C
  - from: C
    to: D
  # the end
`);
    expect(dataOf(formatYaml(written))).toBe(dataOf(written));
  });

  test('keeps the line ends a file begins with, and drops a byte order mark', () => {
    expect(formatYaml('\u{feff}a:  1\r\nb: 2\r\n')).toBe('a: 1\r\nb: 2\r\n');
    expect(formatYaml('a: 1\nb: 2\r\n')).toBe('a: 1\nb: 2\n');
  });
});

/** Ways in which people's files differ from ours and mean the same. */
const mutations: Readonly<Record<string, (text: string) => string>> = {
  'indents of three': (text) => text.replace(/^(?: {2})+/gm, ({ length }) => ' '.repeat((length / 2) * 3)),
  'indents of eight': (text) => text.replace(/^ +/gm, (blanks) => blanks.repeat(4)),
  'lists below their key': (text) =>
    text.replace(/^\S+\n(?: {2}#.*\n)* {2}- .*\n(?: .*\n)*/gm, (section) => section.replace(/^ {2}/gm, '')),
  'wide gaps': (text) => text.replace(/^( *(?:- )?[\w.-]+:) (?=[^#\n])/gm, '$1     '),
  'tight brackets': (text) => text.replaceAll('{ ', '{').replace(/ \}/g, '}'),
  'wide brackets': (text) => text.replace(/\[(?=[^\]\n]+\])/g, '[  ').replace(/(?<=\[[^\]\n]*)\]/g, ' ]'),
  'aligned comments': (text) => text.replace(/(?<=\S) # /g, '        # '),
  'blanks at the ends of lines': (text) => text.replace(/(?<!#.*)$/gm, '  ').replace(/ +$/, ''),
  'empty lines': (text) => `\n\n${text.replace(/\n\n/g, '\n\n \n\n')}\n\n`,
  'no last line end': (text) => text.trimEnd(),
  'a byte order mark': (text) => `\u{feff}${text}`,
};

describe('other layouts of the examples', () => {
  const ways = fc.subarray(Object.keys(mutations), { minLength: 1 });

  test.each(exampleCircuits)('%s comes out as it was written', (_name, _path, text) => {
    for (const [way, mutate] of Object.entries(mutations)) {
      if (way !== 'no last line end') expect([way, mutate(text) === text]).toEqual([way, false]);
      expect([way, formatYaml(mutate(text))]).toEqual([way, text]);
    }
    fc.assert(
      fc.property(ways, fc.boolean(), (chosen, crlf) => {
        const mutated = chosen.reduce((each, way) => mutations[way]?.(each) ?? each, text);
        const given = crlf ? mutated.replaceAll('\n', '\r\n') : mutated;
        expect(formatYaml(given)).toBe(crlf ? text.replaceAll('\n', '\r\n') : text);
      }),
      { numRuns: 8 },
    );
  });
});

describe('whatever can be read', () => {
  // The shares show that enough of the texts can be read to be worth trying; they are our own choice.
  test.each<[string, fc.Arbitrary<string>, number, number]>([
    ['documents in many styles', documents, 200, 0.25],
    ['lines of examples with slips', slips(false), 200, 0.1],
    ['examples with slips', slips(true), 25, 0.2],
    ['pieces in a row', pieces, 1_000, 0.05],
  ])('means the same, with its comments, and is done at once: %s', (_what, texts, numRuns, share) => {
    let read = 0;
    fc.assert(
      fc.property(texts, (text) => {
        const data = dataOf(text);
        if (data === undefined) return;
        read += 1;
        const formatted = formatYaml(text);
        expect(dataOf(formatted)).toBe(data);
        expect(formatYaml(formatted)).toBe(formatted);
        expect(commentsOf(formatted)).toEqual(commentsOf(text));
      }),
      { numRuns },
    );
    expect(read / numRuns).toBeGreaterThan(share);
  });
});

describe('the circuit', () => {
  /** Everything that is built, but for the places in the text. */
  const built = (text: string) =>
    JSON.stringify(circuitOf(text), (key, value) =>
      key === 'document' ? undefined : value instanceof Map ? [...value] : value,
    );

  test.each(exampleCircuits)('%s is built the same', (_name, _path, text) => {
    const mutated = Object.values(mutations).reduce((each, mutate) => mutate(each), text);
    const formatted = formatCircuit({ name: 'a.yaml', text: mutated.slice(1) });
    expect(built(formatted)).toBe(built(text));
    expect(readCircuitFile({ name: 'a.yaml', text: formatted }).problems).toEqual([]);
  });

  test('with a gap no layout of ours can keep is refused, not changed', () => {
    expect(() => formatCircuit({ name: 'a.yaml', text: 'a: [' })).toThrow('something else');
  });
});
