import { exchanged, hoodText } from './example-files.js';

type Content = string | Uint8Array;

/** A text that can't be taken as what it says it is, and the code of what is wrong with it. */
export type HostileFile = readonly [what: string, content: Content, code: string];

const repeated = (text: string, times: number) => text.repeat(times);
const lines = (count: number, line: (index: number) => string) =>
  Array.from({ length: count }, (_, index) => line(index)).join('\n');

/** Nine levels, nine references in each: 9^9 values when taken at its word. */
const aliasBomb = [
  'a: &a [x, x, x, x, x, x, x, x, x]',
  ...[...'bcdefghi'].map((name, index) => {
    const below = 'abcdefgh'[index];
    return `${name}: &${name} [${Array(9).fill(`*${below}`).join(', ')}]`;
  }),
].join('\n');

/** Each way of nesting, deeper than any file of ours. */
export const deepFiles: readonly HostileFile[] = [65, 800, 5_000, 200_000].flatMap((depth): HostileFile[] => [
  [`${depth} lists in a flow`, repeated('[', depth), 'limit-exceeded'],
  [`${depth} maps in a flow`, repeated('{a: ', depth), 'limit-exceeded'],
  [`${depth} dashes`, `${repeated('- ', depth)}x`, 'limit-exceeded'],
  [`${depth} question marks`, repeated('? ', depth), 'limit-exceeded'],
  [`${depth} lists and maps`, repeated('[{a: ', depth / 2 + 1), 'limit-exceeded'],
]);

const indented: HostileFile = [
  '800 indented maps',
  lines(800, (index) => `${' '.repeat(index)}a:`),
  'limit-exceeded',
];

/** More of a thing than is read; each takes its time. */
export const bigFiles: readonly HostileFile[] = [
  ['40 000 keys in one map', lines(40_000, (index) => `k${index}: 1`), 'limit-exceeded'],
  ['100 001 items in one list', `a:\n${repeated('- 1\n', 100_001)}`, 'limit-exceeded'],
];

/** What is wrong before anyone looks for keys and values: encodings, limits, YAML itself. */
export const unreadableFiles: readonly HostileFile[] = [
  ['an alias bomb', aliasBomb, 'yaml-alias'],
  ['101 harmless aliases', `a: &a x\nb: [${Array(101).fill('*a').join(', ')}]`, 'yaml-alias'],
  ['an anchor inside itself', 'a: &a [*a]', 'yaml-alias'],
  indented,
  ['a byte too many', repeated('#', 1_048_577), 'limit-exceeded'],
  ['a key written twice', exchanged(hoodText, '\n  LAMP:\n', '\n  FAN:\n'), 'yaml-duplicate-key'],
  ['a merge key', 'loadside: circuit/1\n<<: { title: x }\n', 'yaml-merge-key'],
  ['two documents', 'loadside: circuit/1\n---\nloadside: circuit/1\n', 'yaml-several-documents'],
  ['a tag', 'loadside: !x circuit/1\n', 'yaml-tag'],
  ['a tag that would run', 'loadside: !!js/function "x"\n', 'yaml-tag'],
  ['an unmerged file', '<<<<<<< ours\na: 1\n=======\na: 2\n>>>>>>> theirs\n', 'yaml-conflict-marker'],
  ['an older YAML', '%YAML 1.1\n---\nloadside: circuit/1\n', 'yaml-version'],
  ['a map as a key', 'loadside: circuit/1\n? { a: 1 }\n: x\n', 'yaml-key-kind'],
  ['a tab as indent', 'loadside: circuit/1\nswitches:\n\tB1: {}\n', 'yaml-syntax'],
  ['a quote that is not closed', 'loadside: circuit/1\ntitle: "x\n', 'yaml-syntax'],
  ['a bracket that is not closed', 'loadside: circuit/1\nhazards: [a\n', 'yaml-syntax'],
  ['UTF-16', new Uint8Array(Buffer.from(`\ufeff${hoodText}`, 'utf16le')), 'encoding-unknown'],
  ['Latin-1', new Uint8Array(Buffer.from('title: caf\u00e9\n', 'latin1')), 'encoding-unknown'],
  ['bytes', Uint8Array.from({ length: 5_000 }, (_, index) => (index * 7_919) % 256), 'encoding-unknown'],
  ['a null', 'title: a\0b\n', 'character-forbidden'],
  ['an escape', 'title: \u001b[2J\n', 'character-forbidden'],
  ['a C1 control', 'title: \u009b31m\n', 'character-forbidden'],
  ['a right-to-left override', 'title: \u202egnp\n', 'character-forbidden'],
  ['a byte order mark inside', 'loadside: circuit/1\n\ufefftitle: x\n', 'character-forbidden'],
  ['nothing', '', 'file-empty'],
  ['blanks', ' \n\n', 'file-empty'],
  ['remarks alone', '# nothing\n', 'file-empty'],
  ['a null alone', 'null\n', 'file-empty'],
];

const volts = (value: string) => exchanged(hoodText, 'voltage: 120 V\n', `voltage: ${value}\n`);

/** Sound YAML whose keys and values are not a circuit's. */
export const misshapenFiles: readonly HostileFile[] = [
  ['a word', 'hello\n', 'value-kind'],
  ['a list', '- a\n- b\n', 'value-kind'],
  ['a number', '5\n', 'value-kind'],
  ['readings', 'loadside: readings/1\nreadings: []\n', 'file-kind'],
  ['another version', 'loadside: circuit/2\n', 'value-choice'],
  ['a part called __proto__', exchanged(hoodText, '\n  LAMP:\n', '\n  __proto__:\n'), 'name-form'],
  ['a part called constructor', exchanged(hoodText, '\n  LAMP:\n', '\n  constructor:\n'), 'name-form'],
  ['a section called toString', 'loadside: circuit/1\ntoString: 1\n', 'key-unknown'],
  ['a section called __proto__', 'loadside: circuit/1\n__proto__: { polluted: true }\n', 'key-unknown'],
  [
    'a name that is a number',
    exchanged(hoodText, 'colour: orange,', 'colour: orange, id: 010,'),
    'value-kind',
  ],
  ['a mapping where a word stands', exchanged(hoodText, 'kind: lamp', 'kind: {}'), 'value-choice'],
  ['a list of lists where a word stands', exchanged(hoodText, 'kind: lamp', 'kind: [[{}]]'), 'value-choice'],
  ['no value', volts(''), 'value-kind'],
  ['a tilde', volts('~'), 'value-kind'],
  ['not a number', volts('.nan'), 'quantity-number'],
  ['infinity', volts('.inf'), 'quantity-number'],
  ['too big for a number', volts('1e999 V'), 'quantity-number'],
  ['a letter O', volts('12O V'), 'quantity-number'],
  ['a clock time', volts('12:30'), 'quantity-unit'],
  ['hexadecimal', volts('0x10 V'), 'quantity-unit'],
  ['a decimal comma', volts('119,8 V'), 'quantity-comma'],
  ['a comma between thousands', volts('1,198 V'), 'quantity-comma'],
  ['another unit', volts('120 W'), 'quantity-unit'],
  ['a negative voltage', volts('-120 V'), 'quantity-range'],
  ['no voltage', volts('0 V'), 'quantity-range'],
  ['a voltage beyond reason', volts('1e300 V'), 'quantity-range'],
];

const csvHead = 'in,red,black,on,reads,input,note\n';

/** Readings tables that can't be read. */
export const hostileTables: readonly HostileFile[] = [
  ['nothing', '', 'file-empty'],
  ['a comma in a number', `${csvHead},CTL.L,CTL.N,,121,3 V,,\n`, 'value-choice'],
  ['a quoted comma in a number', `${csvHead},CTL.L,CTL.N,,"121,3 V",,\n`, 'quantity-comma'],
  ['not a number', `${csvHead},CTL.L,CTL.N,,NaN V,,\n`, 'quantity-number'],
  ['infinity', `${csvHead},CTL.L,CTL.N,,Infinity,,\n`, 'quantity-number'],
  ['too big for a number', `${csvHead},CTL.L,CTL.N,,1e999 V,,\n`, 'quantity-number'],
  ['12abc', `${csvHead},CTL.L,CTL.N,,12abc,,\n`, 'quantity-unit'],
  ['no unit', `${csvHead},CTL.L,CTL.N,,121.3,,\n`, 'quantity-unit'],
  ['a quote that is not closed', `${csvHead},"CTL.L,CTL.N,,121 V,,\n`, 'csv-syntax'],
  ['no such column', 'in,rot,black,on,reads\n,CTL.L,CTL.N,,121 V\n', 'csv-header'],
  ['a null', `${csvHead},CTL.L,CTL.N,,121 V,,a\0b\n`, 'character-forbidden'],
  [
    'Latin-1',
    new Uint8Array(Buffer.from(`${csvHead},CTL.L,CTL.N,,121 V,,caf\u00e9\n`, 'latin1')),
    'encoding-unknown',
  ],
  ['a name of the language', `${csvHead}__proto__=in,CTL.L,CTL.N,,121 V,,\n`, 'name-form'],
  ['a node called constructor', `${csvHead},constructor,CTL.N,,121 V,,\n`, 'reference-unknown'],
];
