import type { CircuitProblemData } from '../../circuit/circuit.js';
import type { RuleDocs } from './rule-doc.js';

const drying = '  drying: { SW: on, air: 40 }';
const resistor = (between: string, name = 'R1') =>
  `passives:\n  ${name}: { kind: resistor, between: [${between}], resistance: 10 kohm }`;
const sensor = (table: string) =>
  `passives:\n  RT:\n    kind: thermistor\n    between: [F1.2, MAINS.N]\n    follows: air\n    curve: { table: [${table}] }`;
const transformer = (voltages: string) =>
  `passives:\n  R1: { kind: resistor, between: [T1.3, T1.4], resistance: 100 ohm }\ntransformers:\n  T1: { primary: [F1.2, MAINS.N], secondary: [T1.3, T1.4], voltages: [${voltages}], rating: 40 VA }`;
const terminals = (list: string) => `    terminals: { ${list} }`;
const include = (file: string) =>
  `include:\n  - { file: ${file}, prefix: TB, joins: { R1.1: F1.2, R1.2: MAINS.N } }`;

const faced = (rows: string) =>
  `connectors:\n  J1: { pins: 2, sides: [J1h, J1b], face: { seen-from: wire-side, rows: [${rows}] } }\npassives:\n  R1: { kind: resistor, between: [F1.2, J1h.1], resistance: 10 kohm }\n  R2: { kind: resistor, between: [J1h.2, MAINS.N], resistance: 10 kohm }\n  R3: { kind: resistor, between: [J1b.1, J1b.2], resistance: 10 kohm }`;

const included = include('board.assembly.yaml');
const mains = terminals('line: MAINS.L, neutral: MAINS.N, earth: MAINS.PE');

/** A circuit on paper: names, parts, states, and the files it is made of. */
export const circuitRules: RuleDocs<Exclude<keyof CircuitProblemData, 'fault-value'>> = {
  'name-duplicate': {
    about: 'Every part, wire and condition has a name of its own, over all sections.',
    bad: '  - { from: SW.2, to: TH.1, id: HEAT }',
    good: '  - { from: SW.2, to: TH.1, id: FEED }',
  },
  'name-reserved': {
    about:
      'Words that mean something in a state are no names: power, unplugged, disconnected, removed, after.',
    bad: resistor('F1.2, MAINS.N', 'removed'),
    good: resistor('F1.2, MAINS.N'),
  },
  'reference-unknown': {
    about: 'A name that is referred to is there.',
    bad: '  - { from: SW.2, to: CTL.l }',
    good: '  - { from: SW.2, to: CTL.1 }',
  },
  'face-pin': {
    about: 'A pin on the face of a connector is one it has, and stands there once.',
    bad: faced('[1, 2, 3]'),
    good: faced('[1, 2]'),
  },
  'face-incomplete': {
    about: 'The face of a connector shows all of its pins.',
    bad: faced('[1]'),
    good: faced('[1, 2]'),
  },
  'node-same': {
    about: 'A part sits between two different nodes.',
    bad: resistor('F1.2, F1.2'),
    good: resistor('F1.2, MAINS.N'),
  },
  'node-dangling': {
    about: 'Something ends at every terminal of a part; else a wire is missing, or names another node.',
    bad: resistor('F1.2, R1.2'),
    good: resistor('F1.2, MAINS.N'),
  },
  'key-needed': {
    about: 'Of keys that stand in for one another, one is there.',
    bad: '      ready: { when: start }',
    good: '      ready: { when: start, job: lamp on the door glows }',
  },
  'key-conflict': {
    about: 'Of keys that say different things of one part, one is there.',
    bad: '  SW: { positions: [off, on], rest: off, between: [SW.1, SW.2], contacts: { main: { between: [SW.1, SW.2], closed-in: [on] } } }',
    good: '  SW: { positions: [off, on], rest: off, between: [SW.1, SW.2], closed-in: [on] }',
  },
  'count-differs': {
    about: 'A list that has an entry for each winding has as many as there are windings.',
    bad: transformer('230 V, 24 V, 12 V'),
    good: transformer('230 V, 24 V'),
  },
  'curve-order': {
    about: "The temperatures of a sensor's table rise.",
    bad: sensor('[120 degC, 1 kohm], [0 degC, 30 kohm]'),
    good: sensor('[0 degC, 30 kohm], [120 degC, 1 kohm]'),
  },
  'curve-range': {
    about: "No state goes beyond what a sensor's curve is good for: what it has there is not known.",
    bad: sensor('[60 degC, 3 kohm], [120 degC, 1 kohm]'),
    good: sensor('[0 degC, 30 kohm], [120 degC, 1 kohm]'),
  },
  'terminal-needed': {
    about: 'A supply has the legs that its system needs.',
    bad: terminals('line: MAINS.L, earth: MAINS.N'),
    good: mains,
  },
  'terminal-foreign': {
    about: 'A supply has no legs but those of its system.',
    bad: terminals('line: MAINS.L, neutral: MAINS.N, earth: MAINS.PE, positive: MAINS.P'),
    good: mains,
  },
  'threshold-order': {
    about: 'The threshold at which a contact goes back lies no higher than the one at which it moves.',
    bad: '  TH: { follows: air, between: [TH.1, TH.2], opens-above: 65 degC, closes-below: 75 degC }',
    good: '  TH: { follows: air, between: [TH.1, TH.2], opens-above: 65 degC, closes-below: 55 degC }',
  },
  'state-undecided': {
    about: 'Between its two thresholds a contact stays as it was, so the state says which that is.',
    bad: '  drying: { SW: on, air: 60 }',
    good: '  drying: { SW: on, air: 60, TH: closed }',
  },
  'state-contradiction': {
    about: 'A state says of a contact nothing that its condition rules out.',
    bad: '  drying: { SW: on, air: 40, TH: open }',
    good: drying,
  },
  'state-value': {
    about: 'A value in a state is one that its switch or condition can have.',
    bad: '  drying: { SW: on, air: warm }',
    good: drying,
  },
  'state-loop': {
    about: 'A state is not made of itself.',
    bad: '  drying: [drying, { SW: on }]',
    good: drying,
  },
  'state-long': {
    about: 'A state is put together from few enough others to be gone through.',
    bad: `${drying}\n${Array.from('abcdefghi', (name, index) => {
      const from = index === 0 ? 'drying' : 'abcdefghi'[index - 1];
      return `  ${name}: [${from}, ${from}]`;
    }).join('\n')}`,
    good: drying,
  },
  'condition-range': {
    about: 'A condition stays in the range it is stated for.',
    bad: '  drying: { SW: on, air: 400 }',
    good: drying,
  },
  'wire-none': {
    about: 'Wires can be lifted only where some end.',
    bad: '  apart: { power: off, disconnected: [MAINS.PE] }',
    good: '  apart: { power: off, disconnected: [HEAT.1] }',
  },
  'earth-colour': {
    about: 'Green with yellow, or green, is the colour of protective earth and of nothing else.',
    bad: '  - { from: MAINS.L, to: F1.1, colour: green/yellow }',
    good: '  - { from: MAINS.L, to: F1.1, colour: brown }',
  },
  'include-path': {
    about:
      'What a circuit includes lies in its folder or below, and is named from the file that includes it.',
    bad: include('../board.assembly.yaml'),
    good: included,
  },
  'include-missing': {
    about: 'A file that is included is there.',
    bad: include('bord.assembly.yaml'),
    good: included,
  },
  'include-kind': {
    about: 'A file that is included says that it is an assembly. Of any other nothing is shown.',
    bad: include('notes.yaml'),
    good: included,
  },
  'include-loop': {
    about: 'No file includes itself, by itself or through others.',
    bad: include('endless.assembly.yaml'),
    good: included,
  },
};
