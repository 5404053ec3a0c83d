import { describe, expect, test } from 'vitest';
import { exchanged, hoodText, lampOutText, noFanText, ovenText, placeIn } from './example-files.js';
import { type FoundProblem, problemsIn, run } from './run.js';

/** A passage of a file, what is mistyped in it, how, and the name that was meant (none where no name is near). */
type Slip = readonly [what: string, passage: string, right: string, wrong: string, meant?: string];

interface Told {
  readonly status: number;
  readonly problems: readonly FoundProblem[];
}

const named = (slips: readonly Slip[]) => slips.map((slip) => [slip[0], slip] as const);

/** The text with one slip, and where the slip stands. */
function slipped(
  text: string,
  [, passage, right, wrong]: Slip,
): { text: string; line: number; column: number } {
  const spoilt = exchanged(passage, right, wrong);
  const at = placeIn(text, passage);
  return {
    text: exchanged(text, passage, spoilt),
    line: at.line,
    column: at.column + passage.indexOf(right),
  };
}

function expectOneAt(told: Told, slip: Slip, place: { line: number; column: number }, status: number): void {
  const errors = told.problems.filter(({ severity }) => severity === 'error');
  const places = errors.map(({ line, column, code }) => ({ line, column, code }));
  expect(places).toEqual([{ line: place.line, column: place.column, code: expect.any(String) }]);
  expect(told.status).toBe(status);
  const meant = slip[4];
  const words = `${errors[0]?.message} ${errors[0]?.help}`;
  if (meant !== undefined) expect(words).toContain(meant);
}

async function validate(text: string): Promise<Told> {
  const ran = await run(['validate', 'c.yaml', '--format', 'json'], { files: { 'c.yaml': text } });
  expect(ran.err).toBe('');
  return { status: ran.status, problems: problemsIn(ran) };
}

async function check(name: string, text: string): Promise<Told> {
  const files = { 'c.yaml': hoodText, [name]: text };
  const ran = await run(['check', name, '--circuit', 'c.yaml', '--format', 'json'], { files });
  return { status: ran.status, problems: problemsIn(ran) };
}

const inHood: readonly Slip[] = [
  ['a node a wire goes to', 'to: CTL.1, colour', 'CTL.1', 'CTL.11', 'CTL.1'],
  ['the part of a node a wire comes from', 'from: B1.2, to', 'B1.2', 'BB1.2', 'B1'],
  ['a splice', 'from: SP1, to: LS.1', 'SP1', 'SP11', 'SP1'],
  ['a node of a part', 'between: [LAMP.1, LAMP.2]', 'LAMP.2', 'LMAP.2', 'LAMP'],
  ['a pin of a connector', 'to: J3h.4, colour', 'J3h.4', 'J3h.44', 'J3h.4'],
  ['a side of a connector', 'to: J3h.4, colour', 'J3h.4', 'J3hh.4', 'J3h'],
  ['a node in nodes', 'LAMP.1: { access', 'LAMP.1', 'LAPM.1', 'LAMP.1'],
  ['a hazardous node in nodes', 'CTL.HV: { hazard', 'CTL.HV', 'CTL.HW', 'CTL.HV'],
  ['a splice in nodes', 'SP2: { access', 'SP2', 'SPP2', 'SP2'],
  ['a red lead', 'in: speed-1, red: CTL.1, black', 'CTL.1', 'CTL.11', 'CTL.1'],
  ['a black lead', 'black: CTL.N, reads: 120 V', 'CTL.N', 'CTL.NN', 'CTL.N'],
  ['a pin in the pin map', 'CTL.1: { label', 'CTL.1', 'CTL.11', 'CTL.1'],
  ['a switch in the pin map', 'switch: B1, position', 'B1', 'B11', 'B1'],
  ['a position in the pin map', 'switch: B1, position: in', 'in', 'inn', 'in'],
  ['the rest of a switch', 'rest: off', 'off', 'of', 'off'],
  ['a position a contact is closed in', 'closed-in: [on]', 'on', 'onn', 'on'],
  ['a position in a named state', 'speed-1: { B1: in }', 'in', 'inn', 'in'],
  ['a switch in a named state', 'speed-1: { B1: in }', 'B1', 'BB1', 'B1'],
  ['a named state', 'in: speed-2, load: FAN', 'speed-2', 'sped-2', 'speed-2'],
  ['a named state in a list', 'in: [speed-1, { power', 'speed-1', 'sped-1', 'speed-1'],
  ['a value of power', '{ power: off }', 'off', 'of', 'off'],
  ['a key of a state', '{ power: off }', 'power', 'powr', 'power'],
  ['a load', 'in: lamp, load: LAMP', 'LAMP', 'LMAP', 'LAMP'],
  ['an output as a load', 'in: {}, load: CTL.indicator', 'CTL.indicator', 'CTL.indicater', 'CTL.indicator'],
  ['an input in when', 'when: [start-2]', 'start-2', 'strat-2', 'start-2'],
  ['an input in any', 'any: [start-1, start-2', 'start-2', 'strat-2', 'start-2'],
  ['a kind of load', 'kind: motor', 'motor', 'moter', 'motor'],
  ['a kind of protector', 'kind: fuse', 'fuse', 'fues', 'fuse'],
  ['a system', 'system: single-phase', 'single-phase', 'single-fase', 'single-phase'],
  ['a terminal of a supply', 'terminals: { line:', 'line', 'lien', 'line'],
  ['a terminal of another system', 'terminals: { line:', 'line', 'line1', 'line'],
  ['a hazard', 'hazards: [moving-parts', 'moving-parts', 'moving-part', 'moving-parts'],
  ['the hazard of a node', 'CTL.HV: { hazard: high-voltage }', 'high-voltage', 'high-voltge', 'high-voltage'],
  ['a voltage', 'voltage: 120 V\n    freq', '120 V', '120 W', 'V'],
  ['a frequency', 'frequency: 60 Hz', '60 Hz', '60 HZ', 'Hz'],
  ['a current', 'rating: 5 A', '5 A', '5 a', 'A'],
  ['a resistance', 'resistance: 30 ohm', '30 ohm', '30 omh', 'ohm'],
  ['a power', 'power: 40 W', '40 W', '40 w', 'W'],
  ['a time', 'access: 2 min', '2 min', '2 mins', 'min'],
  ['a gauge', 'gauge: 22 AWG', '22 AWG', '22 AGW', 'AWG'],
  ['a length', 'length: 0.45 m }', '0.45 m', '0.45 M', 'm'],
  ['a reading', 'reads: 62.8 V', '62.8 V', '62.8 v', 'V'],
  ['a word for yes', 'load: FAN, works: yes', 'yes', 'yess', 'yes'],
  ['the name of the format', 'loadside: circuit/1', 'circuit/1', 'circit/1', 'circuit/1'],
  ['a section', 'protectors:', 'protectors', 'protecters', 'protectors'],
];

const inOven: readonly Slip[] = [
  [
    'a condition',
    'follows: oven-temperature\n    between',
    'oven-temperature',
    'oven-temprature',
    'oven-temperature',
  ],
  ['a value of a condition', 'closed-in: [open]', 'open', 'opne', 'open'],
  ['the rest of a condition', 'rest: closed', 'closed', 'closd', 'closed'],
  ['the unit of a condition', 'unit: degC', 'degC', 'degc', 'degC'],
  ['a temperature', 'opens-above: 188 degC', '188 degC', '188 degK', 'degC'],
  ['a tolerance', 'tolerance: 10 %', '10 %', '10 °', '%'],
  [
    'a condition in a named state',
    'oven-temperature: 200',
    'oven-temperature',
    'oven-temperatur',
    'oven-temperature',
  ],
  ['a value in a named state', 'door-open: { door: open }', '{ door: open', '{ door: opne', 'open'],
  ['a node whose wires are lifted', 'disconnected: [BAKE.1]', 'BAKE.1', 'BAKE.11', 'BAKE.1'],
  ['a position in a contact chart', 'closed-in: [bake, broil]', 'broil', 'broli', 'broil'],
  ['a split system', 'system: split-phase', 'split-phase', 'split-fase', 'split-phase'],
  ['a leg of a split supply', 'terminals: { line1:', 'line1', 'line11', 'line1'],
];

describe('a slip of the pen in a circuit is one error, where it stands, with the name that was meant', () => {
  test.each(named(inHood))('hood: %s', async (_, slip) => {
    const { text, ...place } = slipped(hoodText, slip);
    expectOneAt(await validate(text), slip, place, 1);
  });

  test.each(named(inOven))('oven: %s', async (_, slip) => {
    // The slip in a value may start behind its key, which is part of the passage to be found.
    const { text, line, column } = slipped(ovenText, slip);
    const behind = slip[2].lastIndexOf(' ') === -1 || /^\d/.test(slip[2]) ? 0 : slip[2].lastIndexOf(' ') + 1;
    expectOneAt(await validate(text), slip, { line, column: column + behind }, 1);
  });
});

const inReadings: readonly Slip[] = [
  ['a red lead', 'red: CTL.5', 'CTL.5', 'CTL.55', 'CTL.5'],
  ['a black lead', 'red: CTL.5, black: CTL.N', 'CTL.N', 'CTL.NN', 'CTL.N'],
  ['a named state', 'in: speed-3, load', 'speed-3', 'sped-3', 'speed-3'],
  ['a load', 'in: speed-3, load: FAN', 'FAN', 'FANN', 'FAN'],
  ['a supply', 'supply: { MAINS', 'MAINS', 'MIANS', 'MAINS'],
  ['a unit', 'reads: 121.4 V', '121.4 V', '121.4 v', 'V'],
  ['an input of a meter', 'input: high-impedance', 'high-impedance', 'hi-impedance', 'high-impedance'],
  ['a key of a reading', 'note: at the outlet', 'note', 'notes', 'note'],
  ['a key of a symptom', 'load: CTL.indicator, works', 'works', 'work', 'works'],
  ['a key of the meter', 'counts: 3', 'counts', 'count', 'counts'],
  ['a key of the file', 'symptoms:', 'symptoms', 'symptons', 'symptoms'],
  ['the name of the format', 'loadside: readings/1', 'readings/1', 'reading/1', 'readings/1'],
];

const inCsv: readonly Slip[] = [
  ['a red lead', 'LS=on,LAMP.2,MAINS.N', 'LAMP.2', 'LAMP.22', 'LAMP.2'],
  ['a black lead', 'LS=on,LAMP.2,MAINS.N', 'MAINS.N', 'MIANS.N', 'MAINS.N'],
  ['a switch', 'LS=on,LAMP.2,', 'LS', 'LSS', 'LS'],
  ['a position', 'LS=on,LAMP.2,', 'on', 'onn', 'on'],
  ['a wire', 'CTL.5-J3h.2', 'CTL.5-J3h.2', 'CTL.5-J3h.22', 'CTL.5-J3h.2'],
  ['a unit', '121.1 V', '121.1 V', '121.1 v', 'V'],
  ['an input', '0.0 V,low-impedance', 'low-impedance', 'low-impedence', 'low-impedance'],
  ['a column', 'in,red,black', 'black', 'blak', 'black'],
];

describe('a slip in readings likewise, and nothing is compared', () => {
  test.each(named(inReadings))('yaml: %s', async (_, slip) => {
    const { text, ...place } = slipped(noFanText, slip);
    expectOneAt(await check('r.yaml', text), slip, place, 2);
  });

  test.each(named(inCsv))('csv: %s', async (_, slip) => {
    const { text, ...place } = slipped(lampOutText, slip);
    expectOneAt(await check('r.csv', text), slip, place, 2);
  });
});

describe('a slip on the command line', () => {
  const hood = ['c.yaml'] as const;
  const files = { 'c.yaml': hoodText };
  test.each([
    ['a named state', ['expect', ...hood, '--state', 'sped-1'], 'speed-1'],
    ['a switch', ['expect', ...hood, '--state', 'BB1=in'], 'B1'],
    ['a position', ['expect', ...hood, '--state', 'B1=inn'], 'in'],
    ['a connector', ['expect', ...hood, '--state', 'unplugged=J33'], 'J3'],
    ['a removed part', ['expect', ...hood, '--state', 'removed=F11'], 'F1'],
    ['a lifted terminal', ['expect', ...hood, '--state', 'disconnected=FAN.11'], 'FAN.1'],
    ['the mode of a fault', ['expect', ...hood, '--fault', 'B1:stuck-opn'], 'B1:stuck-open'],
    ['the part of a fault', ['expect', ...hood, '--fault', 'LAPM:open'], 'LAMP'],
    ['the output of a fault', ['expect', ...hood, '--fault', 'CTL.sped-1:dead'], 'CTL.speed-1:dead'],
    ['a black lead', ['expect', ...hood, '--black', 'CTL.n'], 'CTL.N'],
    ['an input', ['expect', ...hood, '--input', 'lo'], 'low'],
    ['a load', ['trace', ...hood, 'FUN'], 'FAN'],
    ['an output as a load', ['trace', ...hood, 'CTL.indicater'], 'CTL.indicator'],
    ['a module', ['pins', ...hood, 'CTLL'], 'CTL'],
  ])('%s: exit 2, the name that was meant, nothing on standard output', async (_, args, meant) => {
    const { status, out, err } = await run(args, { files });
    expect([status, out]).toEqual([2, '']);
    expect(err).toMatch(new RegExp(`(?<![\\w.-])${meant.replace(/[.:]/g, '\\$&')}(?![\\w-])`));
    expect(err).not.toContain('defect');
  });

  test('a part without a mode is not told to be what was meant', async () => {
    const { status, err } = await run(['expect', 'c.yaml', '--fault', 'B1'], { files });
    expect(status).toBe(2);
    expect(err).not.toMatch(/mean B1\?/);
    expect(err).toContain('B1:stuck-open');
  });

  test('a number too exact to read is told as a meter shows it', async () => {
    const given = { files: { 'c.yaml': ovenText } };
    const { status, err } = await run(['expect', 'c.yaml', '--state', 'oven-temperature=350 degF'], given);
    expect(status).toBe(2);
    expect(err).not.toMatch(/\d\.\d{5}/);
  });
});

/** Ten mistakes of ten kinds that a file's shape allows, so that all are found in one run. */
const ten: readonly Slip[] = [
  inHood.find(([what]) => what === 'a node a wire goes to')!,
  inHood.find(([what]) => what === 'a switch in the pin map')!,
  inHood.find(([what]) => what === 'an input in when')!,
  inHood.find(([what]) => what === 'a position a contact is closed in')!,
  inHood.find(([what]) => what === 'the rest of a switch')!,
  inHood.find(([what]) => what === 'a voltage')!,
  inHood.find(([what]) => what === 'a time')!,
  inHood.find(([what]) => what === 'a gauge')!,
  ['a comma', 'resistance: 10 ohm', '10 ohm', '"1,0 ohm"'],
  ['both ends of a part at one place', 'between: [LS.1, LS.2]', '[LS.1, LS.2]', '[LS.1, LS.1]'],
];

/** Ten of a file's shape. */
const tenOfShape: readonly Slip[] = [
  ['a section', 'protectors:', 'protectors', 'protecters'],
  ['a key of a switch', 'closed-in: [on]', 'closed-in', 'closed-inn'],
  ['a kind', 'kind: motor', 'motor', 'moter'],
  ['a hazard', 'hazards: [moving-parts', 'moving-parts', 'moving-part'],
  ['a system', 'system: single-phase', 'single-phase', 'single-fase'],
  ['a list in place of text', 'job: fan turns', 'fan turns', '[fan turns]'],
  ['three ends', 'between: [LAMP.1, LAMP.2]', '[LAMP.1, LAMP.2]', '[LAMP.1, LAMP.2, LAMP.3]'],
  ['a name', 'from: B1.2, to', 'B1.2', '"B1 2"'],
  ['a key of a wire', 'to: LAMP.1, colour', 'colour', 'color'],
  ['a word for yes', 'load: FAN, works: yes', 'yes', 'yess'],
];

describe('ten mistakes are ten problems, no more and no fewer', () => {
  test.each([
    ['of names and values', ten],
    ['of shape', tenOfShape],
  ])('%s', async (_, slips) => {
    const text = slips.reduce((spoilt, slip) => slipped(spoilt, slip).text, hoodText);
    const { problems, status } = await validate(text);
    const lines = slips.map((slip) => slipped(hoodText, slip).line).sort((a, b) => a - b);
    expect(problems.filter(({ severity }) => severity === 'error').map(({ line }) => line)).toEqual(lines);
    expect(problems.filter(({ severity }) => severity === 'warning')).toEqual([]);
    expect(status).toBe(1);
  });

  test('a misspelt choice is one, whatever the choice that was meant would ask for', async () => {
    const text = `loadside: circuit/1
supplies:
  MAINS:
    system: three-phase
    connection: dleta
    voltage: 208 V
    frequency: 60 Hz
    terminals: { line1: MAINS.L1, line2: MAINS.L2, line3: MAINS.L3, neutral: MAINS.N }
loads:
  HEAT: { kind: heating-element, between: [MAINS.L1, MAINS.L2], resistance: 20 ohm, job: gets hot }
  LAMP: { kind: lamp, between: [MAINS.L3, MAINS.N], resistance: 200 ohm, job: lights }
`;
    expect((await validate(text)).problems.map(({ line, code }) => [line, code])).toEqual([
      [5, 'value-choice'],
    ]);
    const also = exchanged(text, '208 V', '208 A');
    expect((await validate(also)).problems.map(({ line }) => line)).toEqual([5, 6]);
  });

  test('of every kind in one file', async () => {
    const { out, status } = await run(['validate', 'tests/cli/ten-mistakes.circuit.yaml', '--json']);
    const { files } = JSON.parse(out) as { files: { problems: { line: number; help?: string }[] }[] };
    expect(files[0]?.problems.map(({ line }) => line)).toEqual([6, 8, 9, 11, 12, 14, 16, 17, 21, 23]);
    expect(status).toBe(1);
  });

  test('of readings', async () => {
    const slips: readonly Slip[] = [
      ...inReadings.filter(([what]) => ['a red lead', 'a named state', 'a supply', 'a unit'].includes(what)),
      ['a load', 'in: speed-4, load: FAN', 'FAN', 'FUN'],
      ['a black lead', 'red: CTL.6, black: CTL.N', 'CTL.N', 'CTL.NN'],
      ['a hazard', 'red: CTL.4, black', 'CTL.4', 'CTL.HV'],
      ['the same place twice', 'red: CTL.3, black', 'CTL.3', 'CTL.N'],
      ['a clamp reads volts', 'red: CTL.2, black: CTL.N', 'red: CTL.2, black: CTL.N', 'on: B1.2-CTL.1'],
      ['ohms with the power on', 'reads: 121.2 V, note', '121.2 V', '121.2 ohm'],
    ];
    const text = slips.reduce((spoilt, slip) => slipped(spoilt, slip).text, noFanText);
    const { problems } = await check('r.yaml', text);
    const lines = slips.map((slip) => slipped(noFanText, slip).line).sort((a, b) => a - b);
    expect(problems.map(({ line }) => line)).toEqual(lines);
  });
});
