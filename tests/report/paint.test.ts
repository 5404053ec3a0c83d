import { expect, test } from 'vitest';
import { paintFor } from '../../src/report/paint.js';

const roles = ['bad', 'good', 'warn', 'strong', 'faint'] as const;

test('without colour every role is the text itself', () => {
  for (const role of roles) expect(paintFor(0)[role]('x')).toBe('x');
});

test('with colour each role has its own, whatever this terminal is, and ends it', () => {
  const painted = roles.map((role) => paintFor(1)[role]('x'));
  expect(painted).toEqual([
    '\u001b[31mx\u001b[39m',
    '\u001b[32mx\u001b[39m',
    '\u001b[33mx\u001b[39m',
    '\u001b[1mx\u001b[22m',
    '\u001b[2mx\u001b[22m',
  ]);
});
