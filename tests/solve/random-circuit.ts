import fc from 'fast-check';

/** Places of a random circuit, all declared in its `nodes` section. */
const places = ['MAINS.L', 'MAINS.N', 'A', 'B', 'C', 'D', 'E', 'F', 'G'];

const pair = fc
  .tuple(fc.integer({ min: 0, max: places.length - 1 }), fc.integer({ min: 1, max: places.length - 1 }))
  .map(([first, step]) => [places[first]!, places[(first + step) % places.length]!] as const);

const between = ([a, b]: readonly [string, string]) => `[${a}, ${b}]`;

const wire = pair.map(([from, to]) => `  - { from: ${from}, to: ${to} }`);
const load = fc
  .tuple(pair, fc.integer({ min: 5, max: 2000 }), fc.integer({ min: 0, max: 300 }))
  .map(
    ([ends, ohms, reactance]) =>
      `{ kind: other, job: runs, between: ${between(ends)}, impedance: { resistance: ${ohms} ohm, reactance: ${reactance} ohm } }`,
  );
const contact = fc
  .tuple(pair, fc.boolean())
  .map(
    ([ends, closed]) =>
      `{ positions: [open, closed], rest: ${closed ? 'closed' : 'open'}, between: ${between(ends)}, closed-in: [closed] }`,
  );

const passive = fc
  .tuple(pair, fc.constantFrom('capacitor', 'inductor', 'resistor'), fc.integer({ min: 1, max: 400 }))
  .map(([ends, kind, value]) => {
    const size = {
      capacitor: `capacitance: ${value / 4} uF`,
      inductor: `inductance: ${value * 3} mH, resistance: ${value / 10} ohm`,
      resistor: `resistance: ${value * 5} ohm`,
    }[kind];
    return `{ kind: ${kind}, between: ${between(ends)}, ${size} }`;
  });
const transformer = fc
  .tuple(pair, fc.array(pair, { minLength: 1, maxLength: 2 }), fc.integer({ min: 10, max: 200 }))
  .map(([primary, secondaries, rating]) => {
    const volts = ['120 V', ...secondaries.map((_, index) => `${24 * (index + 1)} V`)].join(', ');
    const pairs = secondaries.map(between).join(', ');
    return `{ primary: ${between(primary)}, secondaries: [${pairs}], voltages: [${volts}], rating: ${rating} VA, leakages: [${['4 ohm', ...secondaries.map(() => '0.3 ohm')].join(', ')}] }`;
  });
const relay = fc
  .tuple(pair, pair, fc.boolean())
  .map(
    ([coil, contact, open]) =>
      `{ coil: { between: ${between(coil)}, resistance: 3 kohm, picks-up-at: 80 V, drops-out-below: 30 V }, contacts: { one: { between: ${between(contact)}, normally: ${open ? 'open' : 'closed'} } } }`,
  );

/** Beside the usual supply nothing, or one that is not in step, not of its frequency, or dc. */
const others = [
  '',
  '  AUX: { system: dc, voltage: 24 V, terminals: { positive: F, negative: G } }',
  '  AUX: { system: single-phase, voltage: 48 V, frequency: 400 Hz, earthed: none, terminals: { line: F, neutral: G } }',
  '  AUX: { system: single-phase, voltage: 230 V, frequency: 60 Hz, phase: -50, terminals: { line: F, neutral: G } }',
];

const named = (letter: string, rows: readonly string[]) =>
  rows.map((row, index) => `  ${letter}${index + 1}: ${row}`).join('\n');

const section = (name: string, text: string) => (text === '' ? '' : `${name}:\n${text}\n`);

interface Rows {
  readonly wires: readonly string[];
  readonly loads: readonly string[];
  readonly contacts: readonly string[];
  readonly control: readonly [readonly [string, string], readonly [string, string]] | null;
  readonly passives?: readonly string[];
  readonly transformers?: readonly string[];
  readonly relays?: readonly string[];
  readonly supply?: string;
}

/**
 * The text of a random circuit: a supply, wires, loads and switches anywhere between eight places, and (one time
 * in two) a control that closes a contact when its input sees the line.
 */
export const randomCircuit: fc.Arbitrary<string> = fc
  .record({
    wires: fc.array(wire, { minLength: 2, maxLength: 6 }),
    loads: fc.array(load, { minLength: 1, maxLength: 4 }),
    contacts: fc.array(contact, { minLength: 1, maxLength: 4 }),
    control: fc.option(fc.tuple(pair, pair)),
  })
  .map(textOf);

/** The same with every other kind of part: passives, transformers, relays, and a second supply. */
export const randomReactiveCircuit: fc.Arbitrary<string> = fc
  .record({
    wires: fc.array(wire, { minLength: 1, maxLength: 4 }),
    loads: fc.array(load, { minLength: 1, maxLength: 3 }),
    contacts: fc.array(contact, { minLength: 0, maxLength: 2 }),
    control: fc.constant(null),
    passives: fc.array(passive, { minLength: 0, maxLength: 4 }),
    transformers: fc.array(transformer, { minLength: 1, maxLength: 2 }),
    relays: fc.array(relay, { minLength: 0, maxLength: 2 }),
    supply: fc.constantFrom(...others),
  })
  .map(textOf);

function textOf(rows: Rows): string {
  const {
    wires,
    loads,
    contacts,
    control,
    passives = [],
    transformers = [],
    relays = [],
    supply = '',
  } = rows;
  const module =
    control === null
      ? ''
      : `  M:
    supply: { between: [MAINS.L, MAINS.N], at-least: 90 V, draws: { power: 3 W } }
    inputs: { go: { between: ${between(control[0])}, at-least: 60 V, impedance: 150 kohm } }
    outputs: { run: { when: [go], between: ${between(control[1])} } }
`;
  return [
    'loadside: circuit/1',
    'supplies:\n  MAINS: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: MAINS.L, neutral: MAINS.N } }',
    supply,
    section('switches', named('S', contacts)),
    section('loads', named('R', loads)),
    section('relays', named('K', relays)),
    section('modules', module),
    section('passives', named('P', passives)),
    section('transformers', named('T', transformers)),
    section('wires', wires.join('\n')),
    `nodes: { ${places
      .slice(2)
      .map((place) => `${place}: {}`)
      .join(', ')} }`,
  ].join('\n');
}
