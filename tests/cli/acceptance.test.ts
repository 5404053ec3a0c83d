import { describe, expect, test } from 'vitest';
import { allGood, exchanged, hood, hoodText, noFan, noFanText, placeIn } from './example-files.js';
import { type Answer, jsonOf, problemsIn, run } from './run.js';

const json = ['--format', 'json'] as const;

/** What `expect` says of one place. */
function pointAt(answer: Answer, node: string): Answer {
  const found = answer.points.find((point: Answer) => point.node === node);
  if (found === undefined) throw new Error(`no point ${node}`);
  return found.expected;
}

describe('the control that has all it needs', () => {
  test('is bounded, and JSON says so', async () => {
    const ran = await run(['check', noFan, ...json]);
    expect(ran.status).toBe(1);
    const answer = jsonOf(ran);
    expect(answer.verdict).toBe('bounded');
    expect(answer.firstDiscrepancy.bounds).toEqual(['CTL']);
    expect(answer.firstDiscrepancy.reading).toBe(5);
    expect(answer.suspects.map((each: Answer) => each.faults.map((fault: Answer) => fault.part))).toEqual([
      ['CTL'],
    ]);
  });

  test('is told in words: line, neutral, start signal, and no job done', async () => {
    const { status, out } = await run(['check', noFan]);
    expect(status).toBe(1);
    const words = out.replace(/\s+/g, ' ');
    expect(words).toMatch(
      /CTL \(speed control\) has line, neutral and its start signal and does not do its job/,
    );
  });

  test('keeps room for a fault nobody modelled', async () => {
    const { suspects } = jsonOf(await run(['check', noFan, ...json]));
    const sum = suspects.reduce((total: number, each: Answer) => total + each.weight, 0);
    expect(sum).toBeLessThan(1);
    expect(sum).toBeGreaterThan(0);
  });
});

test('the hood after its repair agrees', async () => {
  const ran = await run(['check', allGood, ...json]);
  expect(ran.status).toBe(0);
  const answer = jsonOf(ran);
  expect(answer.verdict).toBe('agrees');
  expect(answer.firstDiscrepancy).toBeNull();
  expect(answer.suspects).toEqual([]);
});

describe('which pin belongs to which button', () => {
  const declared = /^pin-maps:\n(?: {2}.*\n)*/m;

  test('is derived from the wiring, with a pin map or without', async () => {
    const without = hoodText.replace(declared, '');
    expect(without).not.toContain('pin-maps');
    for (const text of [hoodText, without]) {
      const ran = await run(['pins', 'hood.yaml', ...json], { files: { 'hood.yaml': text } });
      expect(ran.status).toBe(0);
      const requires = jsonOf(ran).pins.map((pin: Answer) => [pin.pin, pin.requires]);
      expect(requires).toEqual([
        ['CTL.1', { B1: ['in'] }],
        ['CTL.2', { B2: ['in'] }],
        ['CTL.3', { B3: ['in'] }],
        ['CTL.4', { B4: ['in'] }],
      ]);
    }
  });

  test('with two start wires exchanged in the text, the pin map contradicts the wiring', async () => {
    const swapped = exchanged(
      exchanged(hoodText, 'from: B1.2, to: CTL.1,', 'from: B1.2, to: CTL.2,'),
      'from: B2.2, to: CTL.2,',
      'from: B2.2, to: CTL.1,',
    );
    const files = { 'hood.yaml': swapped };
    const ran = await run(['validate', 'hood.yaml', ...json], { files });
    expect(ran.status).toBe(1);
    const found = problemsIn(ran).filter(({ code }) => code === 'pin-map-contradicted');
    const lines = ['CTL.1: { label', 'CTL.2: { label'].map((entry) => placeIn(swapped, entry).line);
    expect(found.map(({ line }) => line)).toEqual(lines);
    expect(found[0]?.message).toContain('CTL.1');
    const pins = await run(['pins', 'hood.yaml', ...json], { files });
    expect(pins.status).toBe(1);
    expect(jsonOf(pins).pins.map((pin: Answer) => pin.agrees)).toEqual([false, false, true, true]);
  });
});

test('a pin map that names another position of the right switch is contradicted too', async () => {
  const files = { 'hood.yaml': exchanged(hoodText, 'switch: B1, position: in', 'switch: B1, position: out') };
  const ran = await run(['validate', 'hood.yaml', ...json], { files });
  expect(ran.status).toBe(1);
  expect(problemsIn(ran).map(({ code, line }) => [code, line])).toEqual([
    ['pin-map-contradicted', placeIn(hoodText, 'CTL.1: { label').line],
  ]);
  expect((await run(['pins', 'hood.yaml'], { files })).status).toBe(1);
});

describe('what a meter reads behind an open', () => {
  const openNeutral = ['--fault', 'SP2-LAMP.2:open', '--state', 'lamp'] as const;

  test('neutral: line on both sides of the load, nothing across it', async () => {
    const answer = jsonOf(await run(['expect', hood, ...openNeutral, ...json]));
    for (const node of ['LAMP.1', 'LAMP.2']) {
      const at = pointAt(answer, node);
      expect(at.kind).toBe('driven');
      expect(Math.abs(at.nominal - 120)).toBeLessThan(0.5);
    }
    const across = jsonOf(await run(['expect', hood, ...openNeutral, '--black', 'LAMP.2', ...json]));
    expect(pointAt(across, 'LAMP.1').kind).toBe('driven');
    expect(pointAt(across, 'LAMP.1').nominal).toBeLessThan(0.1);
    const lamp = across.loads.find((load: Answer) => load.load === 'LAMP');
    expect(lamp.works).toBe(false);
    expect(lamp.volts).toBeLessThan(0.1);
  });

  // The lamp lifted off: behind the open switch only a dead-ended wire is left.
  const lifted = ['--state', 'disconnected=LAMP.1'] as const;

  test('switch, with nothing else connected: floating by the open contact, never 0 V', async () => {
    const ran = await run(['expect', hood, ...lifted, ...json]);
    const at = pointAt(jsonOf(ran), 'LS.2');
    expect(at.kind).toBe('floating');
    expect(at.high).toBeGreaterThan(100);
    expect(at.nominal).toBeUndefined();
    const { out } = await run(['expect', hood, ...lifted]);
    const row = out.split('\n').find((line) => line.startsWith('LS.2 ')) ?? '';
    expect(row).toContain('floating');
    expect(row).not.toMatch(/\b0\.0 V/);
    const words = out.slice(out.indexOf('\nLS.2 ')).replace(/\s+/g, ' ');
    expect(words).toMatch(/open contact LS\b/);
  });

  test('a low-impedance input takes the stray voltage away', async () => {
    const at = pointAt(jsonOf(await run(['expect', hood, ...lifted, '--input', 'low', ...json])), 'LS.2');
    expect(at.high).toBeLessThan(2);
  });

  test('with the lamp still connected it is 0 V by the lamp', async () => {
    const at = pointAt(jsonOf(await run(['expect', hood, ...json])), 'LS.2');
    expect(at.kind).toBe('driven');
    expect(at.nominal).toBeLessThan(0.1);
  });
});

describe('when nothing can be said', () => {
  const head = 'loadside: readings/1\ncircuit: hood.yaml\n';
  const check = (readings: string) =>
    run(['check', 'r.yaml', ...json], { files: { 'hood.yaml': hoodText, 'r.yaml': head + readings } });

  test.each([
    ['no readings at all', 'readings: []\n'],
    ['a blank one', 'readings:\n  - { in: {}, red: CTL.L, black: CTL.N, reads: }\n'],
    [
      'one at a floating place',
      'readings:\n  - { in: { disconnected: [LAMP.1] }, red: LS.2, black: MAINS.N, reads: 41 V }\n',
    ],
  ])('%s: undecided, and exit 3', async (_, readings) => {
    const ran = await check(readings);
    expect([ran.status, ran.err]).toEqual([3, '']);
    expect(jsonOf(ran).verdict).toBe('undecided');
  });

  test('a floating place is told as floating, with its cause, in the comparison as well', async () => {
    const readings =
      'readings:\n  - { in: { disconnected: [LAMP.1] }, red: LS.2, black: MAINS.N, reads: 0.1 V }\n';
    const files = { 'hood.yaml': hoodText, 'r.yaml': head + readings };
    const { out } = await run(['check', 'r.yaml'], { files });
    const row = out.split('\n').find((line) => line.startsWith('1 ')) ?? '';
    expect(row).toContain('floating');
    expect(row).toMatch(/proves nothing$/);
    expect(out.replace(/\s+/g, ' ')).toMatch(/Reading 1 floats: .*open contact LS\b/);
  });

  test('a reading just below nothing is not told as -0.0', async () => {
    const readings = 'readings:\n  - { in: {}, red: CTL.1, black: CTL.N, reads: -0.04 V }\n';
    const files = { 'hood.yaml': hoodText, 'r.yaml': head + readings };
    const { status, out } = await run(['check', 'r.yaml'], { files });
    expect([status, /-0\.0/.test(out)]).toEqual([0, false]);
  });

  test('a symptom that says two things is told what a symptom says', async () => {
    const ran = await check('symptoms:\n  - { in: {}, load: FAN, opens: F1 }\nreadings: []\n');
    expect(ran.status).toBe(2);
    const [problem] = jsonOf(ran).problems;
    expect(problem.help).toContain('opens for a protector');
  });

  test('a reading that contradicts every fault: unexplained, and exit 1', async () => {
    const ran = await check(
      'readings:\n  - { in: {}, red: CTL.L, black: CTL.N, reads: 121 V }\n  - { in: {}, red: CTL.L, black: CTL.1, reads: 300 V }\n',
    );
    expect(ran.status).toBe(1);
    const answer = jsonOf(ran);
    expect(answer.verdict).toBe('unexplained');
    expect(answer.suspects).toEqual([]);
    expect(answer.firstDiscrepancy.reading).toBe(2);
  });
});

test('the circuit given on the command line goes before the one the readings name', async () => {
  const named = exchanged(noFanText, 'circuit: range-hood.circuit.yaml', 'circuit: nowhere.yaml');
  const ran = await run(['check', 'r.yaml', '--circuit', hood, ...json], { files: { 'r.yaml': named } });
  expect(ran.status).toBe(1);
  expect(jsonOf(ran).inputs.map((input: Answer) => input.path)).toEqual(['r.yaml', hood]);
  const missing = await run(['check', 'r.yaml'], { files: { 'r.yaml': named } });
  expect(missing.status).toBe(2);
  expect(missing.err).toContain('nowhere.yaml');
});

test('trace never says that a load works where it gets nothing', async () => {
  const { out } = await run(['trace', hood, 'LAMP', '--state', 'speed-1']);
  expect(out.replace(/\s+/g, ' ')).not.toContain('It works with: speed-1');
});
