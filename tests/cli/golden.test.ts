import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { complaint, exchanged, hood, hoodText, lampOut, noFan, oven } from './example-files.js';
import { type Outside, type Ran, root, run } from './run.js';
import { buzzer, holder, hums, racers } from './small-circuits.js';

/** UPDATE_GOLDEN=1 writes the screens anew; look at the difference before you keep it. */
const update = process.env['UPDATE_GOLDEN'] === '1';
const folder = join(root, 'tests/golden');

const exchangedStarts = exchanged(
  exchanged(hoodText, 'from: B1.2, to: CTL.1,', 'from: B1.2, to: CTL.2,'),
  'from: B2.2, to: CTL.2,',
  'from: B2.2, to: CTL.1,',
);
const slips = exchanged(
  exchanged(exchanged(hoodText, 'kind: motor', 'kind: moter'), 'rating: 5 A', 'ratng: 5 A'),
  'hazards: [moving-parts',
  'hazards: [moving-part',
);
const slipsOfNames = exchanged(
  exchanged(
    exchanged(hoodText, 'to: CTL.1, colour', 'to: CTL.11, colour'),
    'voltage: 120 V\n',
    'voltage: 119,8 V\n',
  ),
  'switch: B3,',
  'switch: B33,',
);
/** Speed 1 is fed from behind a plug that is moulded on. */
const slowOut = `loadside: readings/1
symptoms:
  - { in: speed-1, load: FAN, works: no }
  - { in: speed-2, load: FAN, works: yes }
`;
const csvHead = 'in,red,black,on,reads,input,note\n';

/** Whole screens, one or two a command. */
const screens: Readonly<Record<string, readonly [args: readonly string[], outside?: Outside]>> = {
  help: [['--help']],
  'help-check': [['check', '--help']],
  'validate-examples': [['validate', hood, oven]],
  'validate-exchanged-wires': [
    ['validate', 'hood.circuit.yaml'],
    { files: { 'hood.circuit.yaml': exchangedStarts } },
  ],
  'validate-slips': [['validate', 'hood.circuit.yaml'], { files: { 'hood.circuit.yaml': slips } }],
  'validate-slips-of-names': [
    ['validate', 'hood.circuit.yaml'],
    { files: { 'hood.circuit.yaml': slipsOfNames } },
  ],
  'expect-speed-1': [['expect', hood, '--state', 'speed-1']],
  'expect-open-neutral': [['expect', hood, '--state', 'lamp', '--fault', 'SP2-LAMP.2:open']],
  'expect-floating': [['expect', oven, '--state', 'bake-hot']],
  'expect-short': [['expect', hood, '--state', 'lamp', '--fault', 'LAMP:shorted']],
  'expect-after-a-short': [['expect', hood, '--state', 'after=lamp', '--fault', 'LAMP:shorted']],
  'expect-all-states': [['expect', oven, '--all-states']],
  'expect-chattering': [['expect', 'buzzer.yaml'], { files: { 'buzzer.yaml': buzzer } }],
  'expect-race': [['expect', 'racers.yaml'], { files: { 'racers.yaml': racers } }],
  'expect-two-ways': [['expect', 'holder.yaml'], { files: { 'holder.yaml': holder } }],
  'expect-overload': [['expect', 'hums.yaml', '--fault', 'W:open'], { files: { 'hums.yaml': hums } }],
  'expect-unknown-state': [['expect', hood, '--state', 'sped-1']],
  'trace-fan': [['trace', hood, 'FAN']],
  'trace-bake': [['trace', oven, 'BAKE']],
  'trace-relay-behind-transformer': [['trace', 'examples/range-control/range-control.circuit.yaml', 'K1']],
  'pins-hood': [['pins', hood]],
  'pins-exchanged-wires': [
    ['pins', 'hood.circuit.yaml'],
    { files: { 'hood.circuit.yaml': exchangedStarts } },
  ],
  'faults-wall-oven': [['faults', oven]],
  'faults-one-state': [['faults', oven, '--state', 'bake', '--min-detectable', '50', '--min-isolable', '90']],
  'faults-overload': [['faults', 'hums.yaml'], { files: { 'hums.yaml': hums } }],
  'help-faults': [['faults', '--help']],
  'check-no-fan': [['check', noFan]],
  'check-lamp-out': [['check', lampOut, '--circuit', hood]],
  'check-lost-leg': [['check', 'examples/wall-oven/lost-leg.readings.yaml']],
  'check-all-good': [['check', 'examples/wall-oven/all-good.readings.yaml']],
  'check-motor-hums': [['check', 'examples/dryer/hums-wont-start.readings.yaml']],
  'check-thermal-fuse': [['check', 'examples/dryer/ghost-on-start-feed.readings.yaml']],
  'check-wrong-pin': [['check', 'examples/range-hood/start-wire-one-pin-over.readings.yaml']],
  'check-undecided': [
    ['check', 'r.csv', '--circuit', hood],
    { files: { 'r.csv': `${csvHead}speed-1,CTL.5,CTL.N,,,,not reached\n` } },
  ],
  'check-complaint': [['check', 'r.yaml', '--circuit', hood], { files: { 'r.yaml': complaint } }],
  'next-complaint': [['next', 'r.yaml', '--circuit', hood], { files: { 'r.yaml': complaint } }],
  'next-out-of-reach': [
    ['next', 'r.yaml', '--circuit', hood, '--skip', 'CTL.2', '--skip', 'CTL.6'],
    { files: { 'r.yaml': complaint } },
  ],
  'next-dead': [['next', 'examples/washer/wont-drain.readings.yaml']],
  'next-lamp-out': [['next', lampOut, '--circuit', hood]],
  'next-alike': [
    ['next', 'r.yaml', '--circuit', hood],
    {
      files: {
        'r.yaml': `${slowOut}readings:\n  - { in: speed-1, red: J3h.2, black: CTL.N, reads: 120 V }\n`,
      },
    },
  ],
  'next-hand-over': [['next', 'examples/microwave-oven/hums-no-heat.readings.yaml']],
  'next-little-told': [
    [
      'next',
      'examples/wall-oven/broil-wire-or-contact.readings.yaml',
      '--skip',
      'SEL.3',
      '--skip',
      'BROIL.1',
    ],
  ],
  'next-unknown-node': [['next', noFan, '--skip', 'CTL.55']],
  'check-comes-and-goes': [
    ['check', 'r.csv', '--circuit', hood],
    {
      files: {
        'r.csv': `${csvHead}speed-1,CTL.1,CTL.N,,121.0 V,,\nspeed-1,CTL.5,CTL.N,,120.8 V,,\nspeed-1,CTL.5,CTL.N,,0.0 V,,\n`,
      },
    },
  ],
  'check-burnt-contact': [
    ['check', 'r.yaml', '--circuit', oven],
    {
      files: {
        'r.yaml': `loadside: readings/1
supply: { MAINS: 120 V }
symptoms:
  - { in: bake, load: BAKE, works: no }
readings:
  - { in: bake, red: BAKE.1, black: BAKE.2, reads: 170 V }
  - { in: bake, red: SEL.1, black: SEL.2, reads: 69.3 V, note: across the closed contact }
`,
      },
    },
  ],
  'check-two-faults': [
    ['check', 'r.yaml', '--circuit', oven],
    {
      files: {
        'r.yaml': `loadside: readings/1
supply: { MAINS: 120 V }
readings:
  - { in: bake, red: BAKE.1, black: BAKE.2, reads: 239.5 V }
  - { in: { power: off, disconnected: [BAKE.1] }, red: BAKE.1, black: BAKE.2, reads: OL }
  - { in: broil, red: BROIL.1, black: BROIL.2, reads: 239.5 V }
  - { in: { power: off, disconnected: [BROIL.1] }, red: BROIL.1, black: BROIL.2, reads: OL }
`,
      },
    },
  ],
  'check-nothing-fits': [
    ['check', 'r.csv', '--circuit', hood],
    { files: { 'r.csv': `${csvHead},CTL.L,CTL.N,,121 V,,\n,CTL.L,CTL.1,,300 V,,\n` } },
  ],
  'check-misspelt': [
    ['check', 'r.csv', '--circuit', hood],
    { files: { 'r.csv': `${csvHead},CTL.LL,CTL.N,,"121,3 V",,\n` } },
  ],
};

/** A run as one readable text: the command, what came on each stream, the exit status. */
function screenOf(args: readonly string[], { status, out, err }: Ran): string {
  return `$ loadside ${args.join(' ')}\n${out}--- standard error\n${err}--- exit status\n${status}\n`;
}

describe('whole screens are what they were', () => {
  test.each(Object.entries(screens))('%s', async (name, [args, outside]) => {
    const path = join(folder, `${name}.txt`);
    const screen = screenOf(args, await run(args, outside));
    if (update) writeFileSync(path, screen);
    expect(existsSync(path)).toBe(true);
    expect(screen).toBe(readFileSync(path, 'utf8'));
  });

  test('there is no screen that nothing compares', () => {
    const names = Object.keys(screens).map((name) => `${name}.txt`);
    const kept = readdirSync(folder).filter((name) => name.endsWith('.txt'));
    expect(kept.sort()).toEqual(names.sort());
  });
});
