import type { Fault } from '../../circuit/circuit.js';
import { type Life, looksOther, readsOther, type Survey } from './supposed.js';

/** Faults by their number in the circuit's list; -1 stands for the sound circuit. */
export type Pair = readonly [number, number];

/** Which of the circuit's lives can be taken for one another, and what that makes of each fault. */
export interface Standing {
  /** Pairs that no observation tells apart. */
  readonly alike: readonly Pair[];
  /** Some observation differs from the sound circuit's for certain. */
  readonly detectable: readonly boolean[];
  /** Detectable, and told apart from every fault of any other part: the part to replace is known. */
  readonly isolable: readonly boolean[];
  /** Detectable, and told apart from every other fault, also of its own part. */
  readonly single: readonly boolean[];
}

/** Every fault against the sound circuit and against every other, by what is seen and read at these places. */
export function standingOf(
  survey: Survey,
  faults: readonly Fault[],
  lives: readonly Life[],
  sound: Life,
  places: readonly number[],
): Standing {
  const alike: Pair[] = [];
  for (const [index, life] of lives.entries()) {
    if (!areToldApart(survey, life, sound, places)) alike.push([-1, index]);
    for (const [other, second] of lives.slice(0, index).entries())
      if (!areToldApart(survey, life, second, places)) alike.push([other, index]);
  }
  return weigh(faults, alike);
}

/** The same with more places to read at: only what was alike before can have changed. */
export function standingWith(
  survey: Survey,
  faults: readonly Fault[],
  lives: readonly Life[],
  sound: Life,
  { alike }: Standing,
  more: readonly number[],
): Standing {
  const lifeOf = (index: number) => lives[index] ?? sound;
  return weigh(
    faults,
    alike.filter(([a, b]) => !readsApart(survey, lifeOf(a), lifeOf(b), more)),
  );
}

function weigh(faults: readonly Fault[], alike: readonly Pair[]): Standing {
  const keys = faults.map(repairOf);
  const detectable = faults.map(() => true);
  const isolable = faults.map(() => true);
  const single = faults.map(() => true);
  for (const [a, b] of alike) {
    if (a < 0) detectable[b] = false;
    const others = a < 0 || keys[a] !== keys[b];
    for (const index of a < 0 ? [b] : [a, b]) {
      single[index] = false;
      if (others) isolable[index] = false;
    }
  }
  return { alike, detectable, isolable, single };
}

/** Faults with one key are put right at one place: a part, or the two wires of an exchanged pair. */
export function repairOf({ part, with: other }: Fault): string {
  return JSON.stringify(other === undefined ? [part] : [part, other].sort());
}

export function areToldApart(survey: Survey, a: Life, b: Life, places: readonly number[]): boolean {
  // What is seen without a meter costs nothing, and tells most pairs apart.
  return lookApart(a, b) || readsApart(survey, a, b, places);
}

export function lookApart(a: Life, b: Life): boolean {
  return a.some((scene, state) => {
    const other = b[state];
    return other !== undefined && looksOther(scene, other);
  });
}

function readsApart(survey: Survey, a: Life, b: Life, places: readonly number[]): boolean {
  return a.some((scene, state) => {
    const other = b[state];
    return other !== undefined && places.some((place) => readsOther(survey, scene, other, place));
  });
}
