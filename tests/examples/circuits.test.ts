import { describe, expect, test } from 'vitest';
import { exampleCircuits } from '../cli/example-files.js';
import { jsonOf, run } from '../cli/run.js';

describe('every example', () => {
  test.each(exampleCircuits)('%s is valid, with no warning', async (_, path) => {
    const ran = await run(['validate', path, '--format', 'json']);
    expect([ran.status, ran.err]).toEqual([0, '']);
    const [file] = jsonOf(ran).files;
    expect(file).toMatchObject({ verdict: 'valid', problems: [] });
    expect(file.expectations.length).toBeGreaterThanOrEqual(10);
  });
});
