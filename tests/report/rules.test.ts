import { describe, expect, test } from 'vitest';
import { isRule, type RuleCode, ruleDocOf } from '../../src/report/rules/rule-docs.js';
import { jsonOf, run } from '../cli/run.js';
import { allCodes } from './problem-examples.js';
import { ruleCall } from './rule-files.js';

/** Of a remark that allows nothing the finding stands as well. */
const besides: Readonly<Record<string, readonly string[]>> = {
  'allow-form': ['node-dangling'],
  'allow-unknown': ['node-dangling'],
};

async function codesIn(code: RuleCode, piece: 'bad' | 'good'): Promise<readonly string[]> {
  const { args, files } = ruleCall(ruleDocOf(code), piece);
  const answer = jsonOf(await run(args, { files }));
  const lists = answer.files ?? [answer];
  return lists.flatMap((each: { problems?: { code: string }[] }) =>
    (each.problems ?? []).map((one) => one.code),
  );
}

describe.each(allCodes.filter(isRule))('%s', (code) => {
  test('is what the bad example breaks, and nothing else', async () => {
    const found = new Set(await codesIn(code, 'bad'));
    expect([...found].sort()).toEqual([code, ...(besides[code] ?? [])].sort());
  });

  test('is kept in the good example, and so is all else', async () => {
    expect(await codesIn(code, 'good')).toEqual([]);
  });

  test('is said in plain sentences', () => {
    const { about } = ruleDocOf(code);
    expect(about).toMatch(/^[A-Z].*\.$/);
    expect(about).not.toMatch(/schema|propert|instance|parse|token|enum|scalar/i);
  });
});
