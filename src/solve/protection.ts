import type { Circuit, Protector } from '../circuit/circuit.js';
import type { Limit } from './limits.js';
import { isPresent, type View } from './view.js';
import { branchAmps, branchFigures } from './works.js';

/** A protector, or a transformer, that carries more than it stands: it opens, and the numbers before that are of no use. */
export interface Overload {
  readonly kind: 'overload';
  readonly protector: string;
  /** The branch that is then open. */
  readonly opens: number;
  readonly amps: number;
  readonly ratedAmps: number;
  /** What is there to be seen until it opens. */
  readonly view: View;
}

/** The one furthest beyond what opens it for certain; undefined where all hold. */
export function findOverload(view: View): Overload | undefined {
  let worst: { readonly limit: Limit; readonly amps: number; readonly share: number } | undefined;
  for (const limit of view.point.plan.limits) {
    if (!isPresent(view, limit.branch)) continue;
    const { amps } = branchFigures(view, limit.branch);
    const share = amps / limit.opensAt;
    if (share >= (worst?.share ?? 1)) worst = { limit, amps, share };
  }
  if (worst === undefined) return undefined;
  const { limit, amps } = worst;
  const { name: protector, branch: opens, ratedAmps } = limit;
  return { kind: 'overload', protector, opens, amps, ratedAmps, view };
}

/** The protector on a path that opens first: the one with the least rating, else the first that opens on current. */
export function firstToOpen(circuit: Circuit, path: readonly number[]): Protector | undefined {
  const able = path.flatMap((index) => {
    const protector = circuit.protectors.get(circuit.branches[index]?.part ?? '');
    return protector?.opensOnCurrent === true ? [protector] : [];
  });
  const rated = (protector: Protector) => protector.rating?.opensAt ?? Number.POSITIVE_INFINITY;
  return able.reduce<Protector | undefined>(
    (least, each) => (least === undefined || rated(each) < rated(least) ? each : least),
    undefined,
  );
}

/** The branches that carry its current: from the protector both ways along whatever carries most, until supply legs are met. */
export function overloadPath({ view, opens: start }: Overload): readonly number[] {
  const frequency = heaviestFrequency(view, start);
  const [from, to] = view.ends(start);
  const along = walk(view, frequency, start, to, new Set([start]));
  const back = walk(view, frequency, start, from, new Set([start, ...along]));
  return [...back.reverse(), start, ...along];
}

function heaviestFrequency(view: View, branch: number): number {
  let best = 0;
  for (const frequency of view.point.phasors.keys()) {
    if (sizeOf(view, frequency, branch) > sizeOf(view, best, branch)) best = frequency;
  }
  return best;
}

function sizeOf(view: View, frequency: number, branch: number): number {
  const { re, im } = branchAmps(view, frequency, branch);
  return Math.hypot(re, im);
}

function walk(view: View, frequency: number, start: number, node: number, met: Set<number>): number[] {
  const { branches } = view.point.plan.circuit;
  const path: number[] = [];
  let at = node;
  let last = start;
  for (;;) {
    let best: number | undefined;
    for (const { index: branch } of branches) {
      if (!view.ends(branch).includes(at) || branch === last || met.has(branch) || !isPresent(view, branch))
        continue;
      if (best === undefined || sizeOf(view, frequency, branch) > sizeOf(view, frequency, best))
        best = branch;
    }
    if (best === undefined || branches[best]?.role === 'source') return path;
    met.add(best);
    path.push(best);
    const [a, b] = view.ends(best);
    at = a === at ? b : a;
    last = best;
    if (at < 0) return path;
  }
}
