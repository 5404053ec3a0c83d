import { expect, test } from 'vitest';
import { jsonOf, run } from '../cli/run.js';

/** A changeover contact whose mechanism does not move: one part, two contacts that stand wrong. */
test('a level switch that does not throw over is one suspect', async () => {
  const answer = jsonOf(await run(['check', 'examples/glasswasher/level-switch.readings.yaml', '--json']));
  expect(answer.verdict).toBe('bounded');
  expect(answer.suspects).toHaveLength(1);
  expect(answer.suspects[0].faults).toMatchObject([
    { part: 'LS', mode: 'stuck-closed', at: 'empty' },
    { part: 'LS', mode: 'stuck-open', at: 'full' },
  ]);
});
