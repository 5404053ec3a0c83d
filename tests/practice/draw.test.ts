import { describe, expect, test } from 'vitest';
import { faultName } from '../../src/circuit/circuit.js';
import { difficultyOf, drawExercise, isSolvable, Planter } from '../../src/practice/practice.js';
import { circuitAt, faultOf, warmerPath } from './open.js';

const planter = new Planter(circuitAt(warmerPath));
const { circuit } = planter;

function drawn(seed: number, wanted: Parameters<typeof drawExercise>[2]) {
  const found = drawExercise(planter, seed, wanted, new Set());
  if (found.kind === 'none') throw new Error(`nothing for seed ${seed}`);
  return found.planting;
}

const dead = { classes: ['dead'] } as const;

describe('a fault that is drawn', () => {
  test('is of the class and as hard as wanted, and one that readings get down to', () => {
    const easy = drawn(1, { ...dead, difficulty: 'easy' });
    expect([easy.fault.mode, difficultyOf(easy.par), isSolvable(easy)]).toEqual(['dead', 'easy', true]);
  });

  test('is the same for the same seed, and another for another', () => {
    const names = [1, 2, 5].map((seed) => faultName(drawn(seed, { classes: ['open', 'dead'] }).fault));
    expect(faultName(drawn(2, { classes: ['open', 'dead'] }).fault)).toBe(names[1]);
    expect(new Set(names).size).toBeGreaterThan(1);
  });

  test('is none where nothing is as wanted, or all was taken', () => {
    const none = (wanted: Parameters<typeof drawExercise>[2], taken: string[]) =>
      drawExercise(planter, 1, wanted, new Set(taken)).kind;
    expect(none({ ...dead, difficulty: 'hard' }, [])).toBe('none');
    expect(none(dead, ['HEAT:dead', 'LAMP:dead'])).toBe('none');
  });
});

describe('a fault that makes no exercise is told why', () => {
  test('nobody complains of it', () => {
    expect(planter.plant(faultOf(circuit, 'TH:stuck-closed'), 1)).toMatchObject({ why: 'no-complaint' });
  });
});

test('how hard it is goes by readings and by parts suspected', () => {
  expect(difficultyOf({ readings: 2, suspected: 10 })).toBe('easy');
  expect(difficultyOf({ readings: 2, suspected: 11 })).toBe('medium');
  expect(difficultyOf({ readings: 3, suspected: 2 })).toBe('medium');
  expect(difficultyOf({ readings: 5, suspected: 2 })).toBe('hard');
  expect(difficultyOf({ readings: 3, suspected: 25 })).toBe('hard');
});
