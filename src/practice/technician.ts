/**
 * The reading that is proposed, and the half-split to hold it against: the test point that halves the suspected parts on
 * the supply path, read against the far end of it, in the state of the complaint.
 * Where that has no place left it goes on with what is proposed: a way that gives up with more parts suspected would
 * seem to need fewer readings.
 */
import { type Circuit, type State, stateKey } from '../circuit/circuit.js';
import {
  type CheckAnswer,
  partsOf,
  proposeNext,
  type TraceAnswer,
  traceLoad,
  usualBlack,
} from '../diagnose/diagnose.js';
import { instrument, type Job, type Reading, type Where } from '../meter/meter.js';
import type { Ask } from './ask.js';
import type { Strategy } from './desk.js';

/** Places on the way from one supply leg through a load to the other, and the parts before, between and after them. */
interface Chain {
  readonly nodes: readonly number[];
  /** The supply terminal at its far end, else the usual one. */
  readonly black: number;
  /** One more than there are nodes. */
  readonly parts: readonly string[];
}

/** What is proposed, first choice but for what was tried. */
export const proposed: Strategy = (desk, job) => {
  const { proposals } = proposeNext(desk.circuit, job, desk.check(job), { most: 12 });
  // What never stood still to be read is not tried again.
  const first = proposals.find(
    ({ state, probe }) =>
      !job.readings.some((each) => each.state === state && isSamePlace(each.where, probe.where)),
  );
  return first && { state: first.state, probe: first.probe };
};

/**
 * The place with as many suspected parts before it as behind it, between the last good and the first bad reading of the
 * first chain that has one.
 */
export const halfSplit: Strategy = (desk, job) => {
  const { circuit } = desk;
  const answer = desk.check(job);
  const { state, chains } = interestOf(circuit, answer);
  const suspected = new Set(answer.suspects.flatMap(partsOf));
  for (const { nodes, parts, black } of chains) {
    const asks = nodes.map((node) => askAt(state, node, black));
    const verdicts = asks.map((ask) => answer.readings.find(({ reading }) => isOf(reading, ask))?.verdict);
    const bad = verdicts.indexOf('differs');
    const end = bad === -1 ? nodes.length : bad;
    const good = verdicts.slice(0, end).lastIndexOf('agrees');
    const count = (from: number, to: number) =>
      new Set(parts.slice(from, to).filter((part) => suspected.has(part))).size;
    let best: { readonly ask: Ask; readonly off: number } | undefined;
    for (const [index, ask] of asks.entries()) {
      if (index <= good || index >= end || !canAsk(circuit, job, ask)) continue;
      const [before, after] = [count(good + 1, index + 1), count(index + 1, end + 1)];
      const off = Math.abs(before - after);
      if (before === 0 || after === 0 || off >= (best?.off ?? Number.POSITIVE_INFINITY)) continue;
      best = { ask, off };
    }
    if (best !== undefined) return best.ask;
  }
  return desk.next(proposed, job);
};

/** Both leads where they were, or the clamp. */
export function isSamePlace(one: Where, other: Where): boolean {
  if (one.kind === 'around') return other.kind === 'around' && one.branch === other.branch;
  return other.kind === 'between' && one.red === other.red && one.black === other.black;
}

export function askAt(state: State, red: number, black: number): Ask {
  const where = { kind: 'between', red, black } as const;
  return { state, probe: { where, unit: 'V', meter: instrument('low-impedance') } };
}

export function canAsk(circuit: Circuit, job: Job, ask: Ask): boolean {
  const { where } = ask.probe;
  if (where.kind === 'around' || where.red === where.black) return false;
  const { reachable, hazard } = circuit.nodes[where.red] ?? {};
  return reachable === true && hazard === undefined && !job.readings.some((reading) => isOf(reading, ask));
}

function isOf({ state, where }: Reading, ask: Ask): boolean {
  return isSamePlace(where, ask.probe.where) && stateKey(state) === stateKey(ask.state);
}

/** The load that fails to work, else the first that works when it should not; and the ways that feed it. */
export function interestOf(
  circuit: Circuit,
  { symptoms }: CheckAnswer,
): { readonly state: State; readonly chains: readonly Chain[] } {
  const wrong = symptoms.filter(({ verdict }) => verdict === 'differs').map(({ symptom }) => symptom);
  const symptom = wrong.find(({ works }) => !works) ?? wrong[0];
  if (symptom === undefined) throw new Error('a hunt without a complaint');
  const { state, load } = symptom;
  const traced = traceLoad(circuit, load, symptom.works ? undefined : state);
  return { state, chains: chainsOf(circuit, traced, new Set()) };
}

/** The load's own way, then those of whatever has to close it: a module by its signals, a relay by its coil. */
function chainsOf(circuit: Circuit, traced: TraceAnswer, met: Set<string>): Chain[] {
  met.add(traced.load.name);
  const own = traced.sides.map(({ path }) => path);
  const [live, back, ...more] = own;
  const chains: Chain[] = [];
  if (live !== undefined) {
    const ahead = live.steps.map(({ branch, to }) => ({ branch, node: to }));
    const behind = (back?.steps ?? []).map(({ branch, from }) => ({ branch, node: from })).reverse();
    const last = back?.steps.at(-1)?.to;
    const isOpen = back !== undefined && circuit.nodes[back.terminal]?.reachable === true;
    chains.push({
      nodes: [
        live.terminal,
        ...ahead.map(({ node }) => node),
        ...(last === undefined ? [] : [last]),
        ...behind.map(({ node }) => node),
      ],
      black: isOpen ? back.terminal : (usualBlack(circuit) ?? 0),
      parts: [
        live.supply,
        ...ahead.map(({ branch }) => partOf(circuit, branch)),
        ...(last === undefined ? [] : [traced.load.part]),
        ...behind.map(({ branch }) => partOf(circuit, branch)),
        back?.supply ?? traced.load.part,
      ],
    });
  }
  for (const path of more) {
    if (path === undefined) continue;
    chains.push({
      nodes: [path.terminal, ...path.steps.map(({ to }) => to)],
      black: usualBlack(circuit) ?? 0,
      parts: [path.supply, ...path.steps.map(({ branch }) => partOf(circuit, branch)), traced.load.part],
    });
  }
  for (const { output } of traced.outputs) {
    const load = circuit.loads.get(output);
    if (load !== undefined && !met.has(output))
      chains.push(...chainsOf(circuit, traceLoad(circuit, load, traced.state), met));
  }
  return chains;
}

function partOf(circuit: Circuit, branch: number): string {
  return circuit.branches[branch]?.part ?? '';
}
