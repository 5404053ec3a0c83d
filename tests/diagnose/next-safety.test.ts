import { describe, expect, test } from 'vitest';
import {
  type Circuit,
  type Fault,
  listFaults,
  readState,
  restState,
  type State,
  withPowerOff,
} from '../../src/circuit/circuit.js';
import { type CheckAnswer, type Proposal, proposeNext, type Suspect } from '../../src/diagnose/diagnose.js';
import { openedBy } from '../../src/diagnose/suspects/opened.js';
import {
  type Job,
  nominalSupplies,
  type Symptom,
  standOf,
  type TestStand,
  usualInstrument,
} from '../../src/meter/meter.js';
import { exampleCircuits } from '../cli/example-files.js';
import { openCircuit } from '../published/front-doors.js';

const circuits = exampleCircuits.map(([name, , text]) => [name, openCircuit(text)] as const);

/** Complaints over all states of a circuit that are walked. */
const mostTogether = 4;

function statesOf(circuit: Circuit): State[] {
  const named = [...circuit.states.keys()].map(
    (name) => readState(circuit, name, circuit.document, []).state,
  );
  return [restState(circuit), ...named];
}

/** What a fault has blown by the time these states were gone through. */
function standing(stand: TestStand, states: readonly State[], fault: Fault): readonly Fault[] {
  for (const state of states) {
    if (!stand.mayShortUnder(state, [fault])) continue;
    const sight = stand.look(state, [fault]);
    if (sight.kind === 'short') return [fault, openedBy(stand.circuit, sight)];
  }
  return [fault];
}

/** The likeliest that a check suspects, with what they have blown in the states that somebody complains of. */
type Standing = Pick<Suspect, 'faults' | 'weight'>;
function standingIn(stand: TestStand, { job, suspects }: CheckAnswer): Standing[] {
  const states = [...new Set(job.symptoms.map((symptom) => symptom.state))];
  return suspects
    .slice(0, 40)
    .map(({ faults, weight }) => ({ faults: standing(stand, states, faults[0]!), weight }));
}

/** How each load does in some states under faults: yes, no, or at its limit. */
function doing(stand: TestStand, states: readonly State[], faults: readonly Fault[]): string[] {
  return states.flatMap((state) => {
    const sight = stand.look(state, faults);
    return [...stand.circuit.loads.values()].map((load) =>
      sight.kind === 'steady' ? stand.worksIn(sight.view, { load, works: true } as Symptom) : 'unsteady',
    );
  });
}

/**
 * Every complaint that a single fault can cause in these states, with the faults that cause it: what `check` would
 * suspect, looked up instead of worked out.
 */
function complaints(stand: TestStand, states: readonly State[]): CheckAnswer[] {
  const { circuit } = stand;
  const sound = doing(stand, states, []);
  const byLooks = new Map<string, { seen: string[]; faults: Fault[] }>();
  for (const fault of listFaults(circuit)) {
    const seen = doing(stand, states, standing(stand, states, fault));
    const known = byLooks.get(seen.join()) ?? { seen, faults: [] };
    known.faults.push(fault);
    byLooks.set(seen.join(), known);
  }
  byLooks.delete(sound.join());
  return [...byLooks.values()]
    .map(({ seen, faults }) => complaint(stand, states, sound, seen, faults))
    .filter(({ symptoms }) => symptoms.some(({ verdict }) => verdict === 'differs'));
}

function complaint(
  { circuit, supplies }: TestStand,
  states: readonly State[],
  sound: readonly string[],
  seen: readonly string[],
  faults: readonly Fault[],
): CheckAnswer {
  const loads = [...circuit.loads.values()];
  const symptoms = states.flatMap((state, at) =>
    loads.flatMap((load, number) => {
      const index = at * loads.length + number;
      const works = seen[index] === 'yes';
      if (!['yes', 'no'].includes(seen[index]!) || !['yes', 'no'].includes(sound[index]!)) return [];
      const verdict = works === (sound[index] === 'yes') ? 'agrees' : 'differs';
      const symptom: Symptom = { index: index + 1, state, load, works };
      return [{ symptom, expected: sound[index] as 'yes' | 'no', verdict } as const];
    }),
  );
  const job = {
    meter: usualInstrument,
    supply: new Map(),
    symptoms: symptoms.map(({ symptom }) => symptom),
    trips: [],
    readings: [],
  };
  const suspects = faults.map(
    (fault): Suspect => ({ faults: [fault], samples: [[fault]], weight: 0.95 / faults.length }),
  );
  const none = { trips: [], blank: [], disagreements: [], movedSwitches: [], doubts: [] };
  const nothing = { ...none, cleared: [], slips: [] };
  const found = { suspects, supposed: 'single', settled: true, tried: 0, complete: true } as const;
  return { circuit, job, supplies, verdict: 'ambiguous', readings: [], symptoms, ...nothing, ...found };
}

/** What a complaint in one state asks about: the state, and every fault it suspects. */
function askedBy({ job, suspects }: CheckAnswer): (Fault | State)[] {
  return [job.symptoms[0]!.state, ...suspects.map(({ faults }) => faults[0]!)];
}

/**
 * As few as it takes that every state is asked about and every fault is suspected: each time the one that asks about
 * most that no other did. State by state, so that what is solved for one serves the next.
 */
function covering(all: readonly CheckAnswer[]): CheckAnswer[] {
  const met = new Set<Fault | State>();
  const chosen = new Set<CheckAnswer>();
  for (;;) {
    const news = all.map((check) => askedBy(check).filter((each) => !met.has(each)));
    const most = Math.max(0, ...news.map(({ length }) => length));
    if (most === 0) return all.filter((check) => chosen.has(check));
    const best = news.findIndex(({ length }) => length === most);
    chosen.add(all[best]!);
    for (const each of news[best]!) met.add(each);
  }
}

/** The same job once somebody has switched off and not yet written down what was read. */
function isolated(job: Job): Job {
  const state = withPowerOff(job.symptoms[0]!.state);
  const where = { kind: 'between', red: 0, black: 1 } as const;
  return { ...job, readings: [{ index: 1, state, where, shown: { kind: 'blank' }, meter: usualInstrument }] };
}

/** Names of nodes that wires and pins join to a supply's earth. */
function earthed({ supplies, branches, nodes }: Circuit): Set<string> {
  const met = new Set(
    [...supplies.values()].flatMap(({ legs }) =>
      legs.filter(({ name }) => name === 'earth').map(({ node }) => node),
    ),
  );
  for (const from of met)
    for (const branch of branches) {
      if (branch.role !== 'wire' && branch.role !== 'pin') continue;
      if (branch.from === from) met.add(branch.to);
      if (branch.to === from) met.add(branch.from);
    }
  return new Set([...met].map((node) => nodes[node]!.name));
}

/** What nobody may be told to do; empty when a proposal is safe. */
function dangers(
  circuit: Circuit,
  stand: TestStand,
  suspected: readonly Standing[],
  earth: ReadonlySet<string>,
  each: Proposal,
): string[] {
  const { state, probe, live } = each;
  const found: string[] = [];
  if (live !== state.power) found.push('live or dead is told wrongly');
  if (probe.unit === 'ohm' && state.power) found.push('ohms with the power on');
  found.push(...badPlaces(circuit, each, earth));
  if (state.removed.size > 0) found.push('something taken out');
  for (const name of state.disconnected) if (earth.has(name)) found.push(`earth off at ${name}`);
  for (const name of state.unplugged)
    for (const { branch } of circuit.connectors.get(name)!.pins)
      if (earth.has(circuit.nodes[circuit.branches[branch]!.from]!.name)) found.push(`earth off in ${name}`);
  if (!live) return found;
  let blown = 0;
  for (const { faults, weight } of suspected) if (stand.look(state, faults).kind === 'short') blown += weight;
  if (blown >= 0.02) found.push(`energises a short, ${blown}`);
  return found;
}

function badPlaces(
  circuit: Circuit,
  { probe: { where, meter, unit } }: Proposal,
  earth: ReadonlySet<string>,
): string[] {
  const { nodes, branches, modules } = circuit;
  if (where.kind === 'around') {
    const ends = [branches[where.branch]!.from, branches[where.branch]!.to].map((node) => nodes[node]!);
    const safe = ends.every(({ hazard }) => hazard === undefined) && ends.some(({ reachable }) => reachable);
    return safe ? [] : ['a clamp where nobody should go'];
  }
  const leads = [where.red, where.black];
  const bad = leads
    .map((lead) => nodes[lead]!)
    .filter((node) => node.hazard !== undefined || !node.reachable);
  const delicate = [
    ...[...modules.values()].flatMap(({ inputs }) => inputs.map(({ between }) => between[0])),
    ...branches.flatMap(({ sensor, from, to }) => (sensor === undefined ? [] : [from, to])),
  ];
  const upset = (lead: number) => delicate.includes(lead) || earth.has(nodes[lead]!.name);
  const loads = unit === 'V' && meter.input === 'low-impedance' && leads.some(upset);
  return [
    ...bad.map(({ name }) => `a lead on ${name}`),
    ...(loads ? ['a low-impedance input on a signal or earth'] : []),
  ];
}

describe('no proposal asks for what is dangerous, whatever single fault there is', () => {
  test.each(circuits)(
    '%s, complaint of every state by itself and of all together',
    { timeout: 60_000 },
    (_, circuit) => {
      const stand = standOf(circuit, nominalSupplies(circuit));
      const states = statesOf(circuit);
      const earth = earthed(circuit);
      const alone = covering(states.flatMap((state) => complaints(stand, [state])));
      // Every fault that somebody sees is suspected in one of those; what all states together add is sampled.
      const together = complaints(stand, states);
      const step = Math.ceil(together.length / mostTogether);
      const jobs = [...alone, ...together.filter((_, at) => at % step === 0)];
      expect(jobs.length).toBeGreaterThan(states.length);
      let [proposed, dead] = [0, 0];
      for (const [turn, check] of jobs.entries()) {
        // Every other time the power is off already.
        const job = turn % 2 === 0 ? check.job : isolated(check.job);
        const { proposals } = proposeNext(circuit, job, check, { most: 10 });
        const suspected = standingIn(stand, check);
        const found = proposals.flatMap((each) => dangers(circuit, stand, suspected, earth, each));
        expect(found).toEqual([]);
        proposed += proposals.length;
        dead += proposals.filter(({ live }) => !live).length;
      }
      expect(proposed).toBeGreaterThan(20);
      expect(dead).toBeGreaterThan(0);
    },
  );
});
