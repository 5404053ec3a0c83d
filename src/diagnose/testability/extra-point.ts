import type { CircuitNode, Fault } from '../../circuit/circuit.js';
import type { Life, Survey } from './supposed.js';
import { type Standing, standingWith } from './told-apart.js';

/** A node that nobody reaches, and what would come of it if somebody did. */
export interface ExtraPoint {
  readonly node: CircuitNode;
  readonly standing: Standing;
}

/**
 * Of the nodes that are neither reachable nor hazardous, the one that as a test point would let most faults be told from
 * those of every other part; then the one by which most would show, then the one that tells most pairs apart. Ties go to
 * the first in the file. Undefined where none gains anything.
 */
export function bestExtraPoint(
  survey: Survey,
  faults: readonly Fault[],
  lives: readonly Life[],
  sound: Life,
  standing: Standing,
): ExtraPoint | undefined {
  const { nodes } = survey.stand.circuit;
  const more = new Map<number, number[]>();
  for (const [index, { needs }] of survey.places.entries())
    if (needs !== undefined) more.set(needs, [...(more.get(needs) ?? []), index]);
  let best: ExtraPoint | undefined;
  let most = scoreOf(standing);
  for (const node of nodes) {
    const places = more.get(node.index);
    if (places === undefined) continue;
    const found = standingWith(survey, faults, lives, sound, standing, places);
    const score = scoreOf(found);
    if (compareScores(score, most) > 0) {
      best = { node, standing: found };
      most = score;
    }
  }
  return best;
}

function scoreOf({ isolable, detectable, alike }: Standing): readonly number[] {
  return [countTrue(isolable), countTrue(detectable), -alike.length];
}

function compareScores(a: readonly number[], b: readonly number[]): number {
  const index = a.findIndex((each, place) => each !== b[place]);
  return (a[index] ?? 0) - (b[index] ?? 0);
}

export function countTrue(each: readonly boolean[]): number {
  return each.filter(Boolean).length;
}
