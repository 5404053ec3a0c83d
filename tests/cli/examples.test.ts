import { describe, expect, test } from 'vitest';
import { exampleCircuits, hood, readingsFiles } from './example-files.js';
import { type Answer, jsonOf, run } from './run.js';

/** What the comments at the head of each readings file say its answer is: the verdict, and the faults that are left. */
const answers: Readonly<Record<string, readonly [verdict: string, ...faults: readonly string[]]>> = {
  'dryer/all-good': ['agrees'],
  'dryer/ghost-on-start-feed': ['bounded', 'TF:open'],
  'dryer/hums-wont-start': ['bounded', 'CENT.start:stuck-open'],
  'dryer/open-neutral': ['bounded', 'TB:2:open'],
  'dryer/runs-cold': ['bounded', 'CUT:open'],
  'dryer/stops-when-let-go': ['ambiguous', 'CENT.run:stuck-open', 'START.1-CENT.R:high-resistance'],
  'range-control/all-good': ['agrees'],
  'range-control/bake-relay-contact': ['bounded', 'K1.make:stuck-open'],
  'range-control/broil-relay-coil': ['bounded', 'K2:open'],
  'range-control/leg-2-not-reached': [
    'ambiguous',
    'K3.make:stuck-open',
    'TBo.3-K3.11:open',
    'TBo.3-K3.11:crossed=TBo.1-T1.1',
    'TBo.3-K3.11:wrong-pin=K3.A2',
  ],
  'range-control/no-clicks': ['bounded', 'T1.secondary-1:open'],
  'range-control/sensor-measured-in-circuit': ['bounded', 'RT:open'],
  'range-hood/all-good': ['agrees'],
  'range-hood/button-open': ['bounded', 'B2:stuck-open'],
  'range-hood/crossed-start-wires': ['bounded', 'B1.2-CTL.1:crossed=B2.2-CTL.2'],
  'range-hood/lamp-out': ['bounded', 'SP2-LAMP.2:open'],
  'range-hood/module-neutral-open': ['bounded', 'SP2-CTL.N:open'],
  'range-hood/no-fan': ['bounded', 'CTL:dead'],
  'range-hood/start-wire-one-pin-over': ['bounded', 'B3.2-CTL.3:wrong-pin=CTL.4'],
  'refrigerator/all-good': ['agrees'],
  'refrigerator/fan-open': ['bounded', 'FAN:open'],
  'refrigerator/freezer-neutral-open': ['bounded', 'J1:3:open'],
  'refrigerator/heater-backfed': ['bounded', 'DTH:stuck-open'],
  'refrigerator/never-stops': ['bounded', 'CC:stuck-closed'],
  'refrigerator/start-device-open': ['bounded', 'SD:stuck-open'],
  'wall-oven/all-good': ['agrees'],
  'wall-oven/bake-element-open': ['bounded', 'BAKE:open'],
  'wall-oven/broil-wire-or-contact': [
    'ambiguous',
    'SEL.broil:stuck-open',
    'SEL.3-BROIL.1:open',
    'SEL.3-BROIL.1:wrong-pin=SEL.2',
    'SEL.3-BROIL.1:wrong-pin=SEL.L2',
  ],
  'wall-oven/lost-leg': ['bounded', 'MAINS.line2:missing'],
  'wall-oven/selector-contact-open': ['bounded', 'SEL.bake:stuck-open'],
  'wall-oven/thermostat-stuck-open': ['bounded', 'TH:stuck-open'],
  'washer/all-good': ['agrees'],
  'washer/centrifugal-switch-open': ['bounded', 'CENT:stuck-open'],
  'washer/ghost-on-cut-wire': ['bounded', 'SPL-DL.1:open'],
  'washer/hot-valve-open': ['bounded', 'HOT:open'],
  'washer/trips-when-full': ['bounded', 'TIMER.rev-b:stuck-closed'],
  'washer/wont-drain': [
    'ambiguous',
    'TIMER.drain:stuck-open',
    'TIMER.D-PUMP.1:open',
    'TIMER.D-PUMP.1:wrong-pin=TIMER.W',
    'TIMER.D-PUMP.1:wrong-pin=TIMER.S',
  ],
};

/** A part with its mode, as the command line writes it. */
function nameOf({ part, at, mode, with: other }: Answer): string {
  if (mode === 'wrong-pin') return `${part}:${mode}=${at}`;
  return `${at === undefined ? part : `${part}.${at}`}:${mode}${other === undefined ? '' : `=${other}`}`;
}

describe('every example', () => {
  test.each(exampleCircuits)('%s is valid, with no warning', async (_, path) => {
    const ran = await run(['validate', path, '--format', 'json']);
    expect([ran.status, ran.err]).toEqual([0, '']);
    const [file] = jsonOf(ran).files;
    expect(file).toMatchObject({ verdict: 'valid', problems: [] });
    expect(file.expectations.length).toBeGreaterThanOrEqual(10);
  });

  test('has readings files, and each of them an answer here', () => {
    const named = readingsFiles.map((path) => path.replace(/^examples\/|\.readings\.\w+$/g, ''));
    expect(Object.keys(answers).sort()).toEqual([...named].sort());
  });

  test.each(readingsFiles)('%s has its answer', async (path) => {
    const [verdict, ...faults] = answers[path.replace(/^examples\/|\.readings\.\w+$/g, '')]!;
    const circuit = path.endsWith('.csv') ? ['--circuit', hood] : [];
    const ran = await run(['check', path, ...circuit, '--format', 'json']);
    const answer = jsonOf(ran);
    const found = answer.suspects.map((suspect: Answer) => suspect.faults.map(nameOf).join(' and '));
    expect([answer.verdict, ...found]).toEqual([verdict, ...faults]);
    expect(ran.status).toBe(verdict === 'agrees' ? 0 : verdict === 'undecided' ? 3 : 1);
  });
});
