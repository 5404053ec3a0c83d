import type { Problem } from '../../src/report/word-problem.js';

type DataOf<Code extends Problem['code']> = Extract<Problem, { code: Code }>['data'];

interface Example<Code extends Problem['code']> {
  readonly data: DataOf<Code>;
  /** What headline and help must say: the value found, what would be right, the suggestion. */
  readonly headline: readonly string[];
  readonly help?: readonly string[];
}

/** One realistic problem for every code there is; a code without one does not compile. */
export const problemExamples: { readonly [Code in Problem['code']]: Example<Code> } = {
  'encoding-unknown': {
    data: { guess: 'Windows-1252' },
    headline: ['UTF-8', 'Windows-1252'],
    help: ['UTF-8'],
  },
  'character-forbidden': {
    data: { character: 'U+202E' },
    headline: ['U+202E', 'right-to-left override'],
    help: ['Delete it'],
  },
  'limit-exceeded': {
    data: { what: 'nesting', found: 65, limit: 64, unit: 'levels' },
    headline: ['nested too deeply', '65 levels', 'at most 64'],
  },
  'yaml-syntax': { data: { detail: 'this { has no closing }' }, headline: ['this { has no closing }'] },
  'json-syntax': {
    data: { detail: 'this JSON ends too early' },
    headline: ['ends too early'],
    help: ['double quotes'],
  },
  'yaml-duplicate-key': { data: { key: 'B1' }, headline: ['key B1', 'twice'], help: ['a name of its own'] },
  'yaml-alias': { data: {}, headline: ['&', '*', 'not used'], help: ['Write the value out', 'quotes'] },
  'yaml-merge-key': { data: {}, headline: ['<<'], help: ['Write the keys out'] },
  'yaml-tag': { data: { tag: '!!binary' }, headline: ['!!binary'], help: ['Delete it', 'quotes'] },
  'yaml-version': { data: { found: '1.1' }, headline: ['1.1', 'YAML 1.2'], help: ['%YAML'] },
  'yaml-several-documents': { data: {}, headline: ['second document', '---'], help: ['file of its own'] },
  'yaml-conflict-marker': { data: {}, headline: ['<<<<<<<'], help: ['<<<<<<<', '=======', '>>>>>>>'] },
  'yaml-key-kind': { data: { found: 'a list' }, headline: ['must be text', 'a list'], help: ['quotes'] },
  'file-empty': {
    data: { expected: 'a map of keys and values' },
    headline: ['empty'],
    help: ['a map of keys and values'],
  },
  'file-unusable': { data: { reason: 'no such file' }, headline: ["can't be read", 'no such file'] },
  'key-unknown': {
    data: { key: 'tolerence', allowed: ['title', 'system', 'tolerance'], nearest: 'tolerance' },
    headline: ['tolerence', 'did you mean tolerance?'],
    help: ['title, system and tolerance'],
  },
  'key-missing': { data: { key: 'reads' }, headline: ['reads', 'missing'] },
  'value-kind': {
    data: { found: 'the number 010', expected: 'a name', hint: "quote it: '010'" },
    headline: ['the number 010', 'expected a name'],
    help: ["Quote it: '010'"],
  },
  'value-choice': {
    data: { found: 'moter', allowed: ['motor', 'lamp', 'other'], nearest: 'motor' },
    headline: ['moter', 'did you mean motor?'],
    help: ['motor, lamp and other'],
  },
  'value-count': {
    data: { found: 1, least: 2, most: undefined },
    headline: ['1 entry stands', 'at least 2'],
  },
  'value-range': { data: { found: 101, least: undefined, most: 100 }, headline: ['101', 'at most 100'] },
  'name-form': { data: { found: 'B1 left' }, headline: ['"B1 left"'], help: ['letters', 'PART.TERMINAL'] },
  'text-length': { data: { found: 212, most: 200 }, headline: ['212 characters', 'at most 200'] },
  'csv-syntax': {
    data: { detail: 'this row has 5 cells where the header has 7' },
    headline: ['5 cells', 'the header has 7'],
  },
  'csv-header': {
    data: { found: 'raeds', allowed: ['in', 'red', 'black', 'on', 'reads'], nearest: 'reads' },
    headline: ['raeds', 'did you mean reads?'],
    help: ['in, red, black, on and reads'],
  },
  'quantity-number': {
    data: { found: '12O V', dimension: 'voltage', example: '120 V' },
    headline: ['12O V', 'a voltage', '120 V'],
  },
  'quantity-comma': {
    data: { found: '119,8 V', fix: '119.8 V' },
    headline: ['119,8 V', 'write 119.8 V'],
    help: ['decimal point'],
  },
  'quantity-unit': {
    data: {
      found: '22 MFD',
      unit: 'MFD',
      dimension: 'capacitance',
      units: ['F', 'pF', 'nF', 'uF'],
      nearest: 'uF',
    },
    headline: ['22 MFD', 'a capacitance', 'did you mean uF?'],
    help: ['F, pF, nF or uF'],
  },
  'quantity-range': {
    data: { found: '60 %', dimension: 'ratio', least: '0 %', most: '50 %', exclusiveLeast: false },
    headline: ['60 %', 'at least 0 % and at most 50 %'],
  },
  'name-duplicate': { data: { name: 'W7' }, headline: ['W7'], help: ['a name of its own'] },
  'name-reserved': {
    data: { name: 'power' },
    headline: ['power'],
    help: ['unplugged, disconnected and removed'],
  },
  'reference-unknown': {
    data: { what: 'node', found: 'B2.l', of: undefined, nearest: 'B2.1', allowed: ['B2.1', 'B2.2'] },
    headline: ['no node', 'B2.l', 'did you mean B2.1?'],
    help: ['B2.1 and B2.2'],
  },
  'face-pin': {
    data: { pin: 6, pins: 5, twice: false },
    headline: ['no pin 6'],
    help: ['from 1 to 5', 'once'],
  },
  'face-incomplete': { data: { missing: [4, 5] }, headline: ['pins 4 and 5'], help: ['once'] },
  'node-same': {
    data: { part: 'F1', node: 'F1.1' },
    headline: ['both ends', 'F1', 'F1.1'],
    help: ['two different'],
  },
  'node-dangling': {
    data: { node: 'FAN.N', nearest: 'FAN.1' },
    headline: ['FAN.N', 'FAN.1'],
    help: ['wire'],
  },
  'key-needed': {
    data: { part: 'SEL', keys: ['between', 'contacts'] },
    headline: ['SEL needs between or contacts'],
  },
  'key-conflict': {
    data: { part: 'TH1', keys: ['positions', 'follows'] },
    headline: ['positions and follows', 'TH1'],
    help: ['Keep one'],
  },
  'count-differs': {
    data: { part: 'T1', key: 'voltages', found: 3, expected: 2 },
    headline: ['voltages', 'T1', '3 entries', '2'],
    help: ['primary first'],
  },
  'curve-order': {
    data: { part: 'RT', found: '20 degC' },
    headline: ['20 degC', 'RT', 'does not lie above'],
    help: ['rising'],
  },
  'state-long': { data: { limit: 500 }, headline: ['more than 500'], help: ['double'] },
  'curve-range': {
    data: { sensor: 'RT', condition: 'oven-temperature', found: '900', from: '-200', to: '850' },
    headline: ['oven-temperature', '900', 'RT', '-200 to 850'],
    help: ['longer table'],
  },
  'terminal-needed': {
    data: { supply: 'MAINS', system: 'single-phase', terminal: 'neutral' },
    headline: ['MAINS', 'neutral', 'single-phase'],
  },
  'terminal-foreign': {
    data: { supply: 'MAINS', system: 'dc', terminal: 'line', allowed: ['positive', 'negative', 'earth'] },
    headline: ['MAINS is dc', 'line'],
    help: ['positive, negative and earth'],
  },
  'threshold-order': {
    data: { part: 'TH1', upper: 'opens-above', lower: 'closes-below' },
    headline: ['closes-below of TH1', 'opens-above'],
    help: ['no higher than opens-above'],
  },
  'state-undecided': {
    data: { switch: 'TH1', condition: 'oven-temperature', value: '250', contact: 'TH1' },
    headline: ['oven-temperature 250', 'TH1', 'open or closed'],
    help: ['TH1: open', 'TH1: closed', 'in this state'],
  },
  'state-contradiction': {
    data: { switch: 'TH1', said: 'closed', condition: 'oven-temperature', value: '300' },
    headline: ["TH1 can't be closed", 'oven-temperature 300'],
    help: ['TH1', 'change oven-temperature'],
  },
  'state-value': {
    data: { key: 'power', found: 'maybe', expected: 'on or off' },
    headline: ['maybe', 'power', 'expected on or off'],
  },
  'state-loop': { data: { state: 'bake' }, headline: ['state bake', 'itself'], help: ['Take it out'] },
  'fault-value': {
    data: {
      found: 'SW:high-resistance',
      expected: 'it takes a value in ohm',
      example: 'SW:high-resistance=0.5 ohm',
    },
    headline: ['SW:high-resistance', 'a value in ohm'],
    help: ['SW:high-resistance=0.5 ohm'],
  },
  'condition-range': {
    data: { condition: 'oven-temperature', found: '600', from: '0', to: '500' },
    headline: ['oven-temperature 600', '0 to 500'],
  },
  'wire-none': { data: { node: 'BAKE.1' }, headline: ['BAKE.1'], help: ['disconnected'] },
  'earth-colour': {
    data: { wire: 'W7', colour: 'green' },
    headline: ['W7', 'green', 'protective earth'],
    help: ['Check'],
  },
  'reading-lead-missing': {
    data: { missing: 'black' },
    headline: ['black lead'],
    help: ['black: and its node', 'on: and the wire'],
  },
  'reading-keys-conflict': {
    data: { keys: ['on', 'red'] },
    headline: ['on and red'],
    help: ['two leads', 'clamp'],
  },
  'reading-same-node': {
    data: { node: 'CTL.1' },
    headline: ['both leads', 'CTL.1'],
    help: ['nothing to read'],
  },
  'reading-ohms-live': {
    data: {},
    headline: ['ohms', 'power off'],
    help: ['power: off', "this reading's state", 'Prove a circuit dead'],
  },
  'reading-unit-misplaced': {
    data: { found: 'V', expected: 'A' },
    headline: ['clamp', 'reads A, not V'],
    help: ['red: and black:'],
  },
  'reading-hazard': {
    data: { node: 'CTL.HV', hazard: 'high-voltage' },
    headline: ['CTL.HV is never probed', 'high-voltage'],
    help: ['Take this reading out'],
  },
  'reading-clamp': { data: { part: 'SEL' }, headline: ['SEL'], help: ['single conductor'] },
  'supply-range': {
    data: { supply: 'MAINS', found: '12 V', least: '60 V', most: '180 V', toNeutral: false },
    headline: ['MAINS', '12 V', '60 V to 180 V'],
    help: ['put right first'],
  },
  'exercise-seal': { data: {}, headline: ['seal', 'changed'], help: ['practice new'] },
  'exercise-fault': { data: {}, headline: ['no fault of its circuit'], help: ['another version'] },
  'record-exercise': { data: {}, headline: ['another exercise'], help: ['begun with'] },
  'record-line': { data: { act: 3 }, headline: ['line 3', 'not as it was written'], help: ['taken out'] },
  'record-replay': {
    data: { act: 2, found: '120.4 V', expected: '0.1 V' },
    headline: ['line 2', '120.4 V', '0.1 V'],
    help: ['another version'],
  },
  'symptom-empty': { data: {}, headline: ['says nothing'], help: ['load:', 'works:', 'opens:'] },
  'expectation-empty': { data: {}, headline: ['expects nothing'], help: ['reads:', 'load:', 'works:'] },
  'supply-shorted': {
    data: { supply: 'MAINS', in: { B1: 'in', power: 'off' }, path: ['F1', 'B1'] },
    headline: ['MAINS is short-circuited', 'B1 = in'],
    help: ['F1 and B1'],
  },
  'load-never-works': {
    data: { load: 'BAKE', states: 12 },
    headline: ['BAKE', 'none of 12 states'],
    help: ['wire'],
  },
  'contact-never-moves': {
    data: { contact: 'SEL.bake-line', always: 'open', states: 12 },
    headline: ['SEL.bake-line', 'open', '12 states'],
    help: ['positions', 'thresholds'],
  },
  'protector-opens': {
    data: { protector: 'F1', in: {}, amps: 31.2, ratedAmps: 10 },
    headline: ['F1', '10.00 A', '31.20 A', 'at rest'],
    help: ['rating'],
  },
  'contacts-chatter': {
    data: { in: {}, actuators: ['CTL.any'] },
    headline: ['CTL.any', 'at rest'],
    help: ['nothing can be said'],
  },
  'pin-map-contradicted': {
    data: { node: 'CTL.1', switch: 'B1', position: 'in', wiring: { B2: ['in'] }, instead: 'CTL.2' },
    headline: ['CTL.1', 'B1 = in', 'by the wiring it takes B2 = in'],
    help: ['B1 = in reaches CTL.2'],
  },
  'expectation-differs': {
    data: {
      index: 3,
      expected: { kind: 'driven', low: 58.2, nominal: 59.94, high: 61.7, unit: 'V' },
      wanted: '120 V',
    },
    headline: ['expectation 3 says 120 V', 'gives 59.9 V'],
    help: ['58.2 V to 61.7 V'],
  },
  'expectation-works': {
    data: { index: 5, load: 'FAN', wanted: true, volts: 31.44 },
    headline: ['expectation 5 says FAN works', 'does not'],
    help: ['31.4 V'],
  },
  'allow-form': { data: {}, headline: ['allows nothing'], help: ['# loadside-allow CODE -- why'] },
  'allow-unknown': {
    data: { found: 'node-dangeling', nearest: 'node-dangling' },
    headline: ['node-dangeling', 'did you mean node-dangling?'],
    help: ['loadside rules'],
  },
  'allow-refused': { data: { found: 'supply-shorted' }, headline: ['supply-shorted'], help: ['safety'] },
  'allow-unused': { data: { found: 'node-dangling' }, headline: ['node-dangling'], help: ['Delete'] },
  'file-kind': {
    data: { found: 'assembly/1', expected: 'circuit/1' },
    headline: ['assembly/1', 'a circuit file is needed'],
    help: ['includes it'],
  },
  'include-path': {
    data: { file: '/etc/hosts', why: 'starts at the root of the disk' },
    headline: ['/etc/hosts', 'root of the disk'],
    help: ['relative'],
  },
  'include-missing': {
    data: { file: 'board.assembly.yaml', why: 'no such file' },
    headline: ['board.assembly.yaml', 'no such file'],
  },
  'include-kind': {
    data: { file: 'notes.yaml' },
    headline: ['notes.yaml', 'assembly'],
    help: ['loadside: assembly/1'],
  },
  'include-loop': {
    data: { files: ['a.assembly.yaml', 'b.assembly.yaml'] },
    headline: ['a.assembly.yaml and b.assembly.yaml'],
    help: ['file of its own'],
  },
  'testability-low': {
    data: { of: 'isolable', percent: 80, found: 12, needed: 15, faults: 18 },
    headline: ['12 of 18 faults', 'every other part', '80 %', '15 of them'],
    help: ['loadside faults'],
  },
};

export const allCodes: readonly Problem['code'][] = Object.keys(problemExamples) as Problem['code'][];

/** A problem of this code at a place in a source. */
export function problemOf<Code extends Problem['code']>(
  code: Code,
  data: DataOf<Code>,
  at: Problem['at'],
  related?: Problem['related'],
): Problem {
  return { code, data, at, ...(related === undefined ? {} : { related }) } as Problem;
}

export function exampleOf(code: Problem['code'], at: Problem['at']): Problem {
  return { code, data: problemExamples[code].data, at } as Problem;
}
