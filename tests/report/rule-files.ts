import type { RuleDoc } from '../../src/report/rules/rule-doc.js';

/** The circuit that the pieces in the documentation of rules are of: sound, and without a finding. */
const circuit = `loadside: circuit/1
title: Drying cabinet
supplies:
  MAINS:
    system: single-phase
    voltage: 230 V
    frequency: 50 Hz
    terminals: { line: MAINS.L, neutral: MAINS.N, earth: MAINS.PE }
conditions:
  air: { unit: degC, rest: 20, from: 0, to: 120 }
switches:
  SW: { positions: [off, on], rest: off, between: [SW.1, SW.2], closed-in: [on] }
  TH: { follows: air, between: [TH.1, TH.2], opens-above: 65 degC, closes-below: 55 degC }
protectors:
  F1: { kind: fuse, between: [F1.1, F1.2], rating: 5 A }
loads:
  HEAT: { kind: heating-element, between: [HEAT.1, HEAT.2], rated: { voltage: 230 V, power: 500 W } }
modules:
  CTL:
    supply: { between: [CTL.L, CTL.N], draws: { power: 2 W } }
    inputs: { start: { between: [CTL.1, CTL.N], impedance: 150 kohm } }
    outputs:
      ready: { when: start, job: lamp on the door glows }
      strike: { when: start, job: lamp inside strikes, at: CTL.HV, hazard: high-voltage }
states:
  drying: { SW: on, air: 40 }
  apart: { power: off, disconnected: [HEAT.1] }
wires:
  - { from: MAINS.L, to: F1.1, colour: brown }
  - { from: F1.2, to: SW.1 }
  - { from: SW.2, to: TH.1, id: FEED }
  - { from: TH.2, to: HEAT.1 }
  - { from: HEAT.2, to: MAINS.N, colour: blue }
  - { from: F1.2, to: CTL.L }
  - { from: CTL.N, to: MAINS.N }
  - { from: SW.2, to: CTL.1 }
`;

const readings = `loadside: readings/1
circuit: cabinet.circuit.yaml
supply: { MAINS: 229 V }
symptoms:
  - { in: drying, load: HEAT, works: no }
readings:
  - { in: drying, red: TH.2, black: MAINS.N, reads: 0.2 V }
`;

const table = `in,red,black,on,reads,input,note
SW=on,TH.2,MAINS.N,,0.2 V,,
`;

/** What stands beside them. */
const beside = {
  'board.assembly.yaml':
    'loadside: assembly/1\npassives:\n  R1: { kind: resistor, between: [R1.1, R1.2], resistance: 10 kohm }\n',
  'endless.assembly.yaml':
    'loadside: assembly/1\ninclude: [{ file: endless.assembly.yaml, prefix: A }]\npassives:\n  R1: { kind: resistor, between: [R1.1, R1.2], resistance: 10 kohm }\n',
  'notes.yaml': 'password: of nobody\n',
};

/** Lines that the piece put right takes the place of, where those are not in the file as they are. */
const places: readonly string[] = [
  '  drying: { SW: on, air: 40 }',
  '  - { in: drying, red: TH.2, black: MAINS.N, reads: 0.2 V }',
];

/** A call on a file in which one of the two pieces of a rule's documentation stands, with the files it needs. */
export function ruleCall(
  doc: RuleDoc,
  piece: 'bad' | 'good',
): { readonly args: readonly string[]; readonly files: Readonly<Record<string, string | Uint8Array>> } {
  const text = doc[piece].replace(/ +\(saved as .*\)$/, '');
  const isLatin = doc[piece].endsWith('(saved as Latin-1)');
  const whole = doc.of === 'readings' ? readings : doc.of === 'readings table' ? table : circuit;
  const laid = isWhole(doc) && piece === 'bad' ? text : laidIn(whole, doc.good, text);
  const bytes = new Uint8Array(Buffer.from(laid, isLatin ? 'latin1' : 'utf8'));
  const options = doc.about.includes('--min-') ? ['--min-isolable', '60'] : [];
  if (doc.of === undefined)
    return {
      args: ['validate', 'cabinet.circuit.yaml', ...options, '--json'],
      files: { ...beside, 'cabinet.circuit.yaml': bytes },
    };
  const name = doc.of === 'readings' ? 'cold.readings.yaml' : 'cold.readings.csv';
  return {
    args: ['check', name, '--circuit', 'cabinet.circuit.yaml', '--json'],
    files: { ...beside, 'cabinet.circuit.yaml': circuit, [name]: bytes },
  };
}

function isWhole({ bad }: RuleDoc): boolean {
  return bad.startsWith('# ');
}

/** In place of the lines put right, of a line of the same entry, or behind everything else. */
function laidIn(whole: string, good: string, text: string): string {
  if (whole.includes(`${good}\n`)) return whole.replace(`${good}\n`, `${text}\n`);
  const head = /^ *(?:- \{ in|\w[\w-]*):/.exec(good)?.[0] ?? '';
  const place = places.find((line) => line.startsWith(head) && head.startsWith(' '));
  if (place !== undefined) return whole.replace(place, text);
  const top = /^\w+: /.exec(good)?.[0];
  if (top !== undefined) return whole.replace(new RegExp(`^${top}.*$`, 'm'), text);
  return `${whole}${text}\n`;
}
