import fc from 'fast-check';

/** Places of a random circuit, all declared in its `nodes` section. */
const places = ['MAINS.L', 'MAINS.N', 'A', 'B', 'C', 'D', 'E', 'G'];

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

const named = (letter: string, rows: readonly string[]) =>
  rows.map((row, index) => `  ${letter}${index + 1}: ${row}`).join('\n');

const section = (name: string, text: string) => (text === '' ? '' : `${name}:\n${text}\n`);

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
  .map(({ wires, loads, contacts, control }) => {
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
      section('switches', named('S', contacts)),
      section('loads', named('R', loads)),
      section('modules', module),
      section('wires', wires.join('\n')),
      `nodes: { ${places
        .slice(2)
        .map((place) => `${place}: {}`)
        .join(', ')} }`,
    ].join('\n');
  });
