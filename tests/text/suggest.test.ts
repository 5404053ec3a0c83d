import { describe, expect, test } from 'vitest';
import { nearestName } from '../../src/text/text.js';

describe('nearestName', () => {
  const names = ['CTL.1', 'CTL.N', 'BAKE.1', 'between', 'tolerance', 'title'];

  test.each([
    ['tolerence', 'tolerance'],
    ['TOLERANCE', 'tolerance'],
    ['btween', 'between'],
    ['betwene', 'between'],
    ['titel', 'title'],
    ['BAKE.l', 'BAKE.1'],
    ['ctl.n', 'CTL.N'],
    ['CTL.7', 'CTL.1'],
  ])('%s stands for %s', (written, meant) => {
    expect(nearestName(written, names)).toBe(meant);
  });

  test.each(['', 'x', 'completely different', 'tol'])('%j stands for none of them', (written) => {
    expect(nearestName(written, names)).toBeUndefined();
  });

  test('a name that differs in case alone wins over an earlier one as near', () => {
    expect(nearestName('abd', ['abc', 'ABD'])).toBe('ABD');
  });

  test('of names equally far the first wins', () => {
    expect(nearestName('abx', ['aby', 'abz'])).toBe('aby');
  });

  test('very long names are never compared', () => {
    const long = 'x'.repeat(1_000_000);
    expect(nearestName(long, [`${long}y`])).toBeUndefined();
  });
});
