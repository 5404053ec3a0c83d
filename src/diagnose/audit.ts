import { type Circuit, isConductor } from '../circuit/circuit.js';
import { type Expectation, nominalSupplies, type Reading, standOf, type TestStand } from '../meter/meter.js';
import {
  isPresent,
  loadFigures,
  type ShortCircuit,
  sweepStates,
  type View,
  worksIn,
} from '../solve/solve.js';
import { type Path, problemAt } from '../text/text.js';
import { derivePins } from './pins.js';
import type { AuditProblem, AuditProblemData } from './problems.js';
import { holdReading, holdSymptom } from './suspects/evidence.js';
import { relaysUnderWay, type UnderWay } from './under-way.js';

export interface AuditAnswer {
  readonly problems: readonly AuditProblem[];
  /** How many states were looked at, and whether those are all. */
  readonly states: number;
  readonly complete: boolean;
  readonly expectations: readonly { readonly index: number; readonly holds: boolean }[];
}

/** A circuit solved in every state: what can't be right electrically, and which of its own expectations fail. */
export function auditCircuit(circuit: Circuit, expectations: readonly Expectation[]): AuditAnswer {
  const problems: AuditProblem[] = [];
  const report: Report = (code, data, path) => {
    problems.push(problemAt(circuit.document, code, data, path) as AuditProblem);
  };
  const stand = standOf(circuit, nominalSupplies(circuit));
  const { states, complete } = auditStates(circuit, stand, report);
  auditPins(circuit, report);
  const rounded = new Map([...circuit.supplies.keys()].map((name) => [name, roundingShare]));
  const steady = standOf(circuit, {
    ...nominalSupplies(circuit),
    spreads: rounded,
    spread: roundingShare,
  });
  const held = expectations.map((each) => auditExpectation(steady, each, report));
  return { problems, states, complete, expectations: held };
}

/** Expectations are written for the nominal supply, rounded as people round ("120 V" for 119.2 V). */
const roundingShare = 0.02;

/** On a floating place only "about nothing" can be expected. */
function isAboutZero({ shown }: Reading): boolean {
  return shown.kind === 'value' && Math.abs(shown.value) < 1;
}

type Report = <Code extends keyof AuditProblemData>(
  code: Code,
  data: AuditProblemData[Code],
  path: Path,
) => void;

function auditStates(
  circuit: Circuit,
  stand: TestStand,
  report: Report,
): { states: number; complete: boolean } {
  const { states, complete } = sweepStates(circuit);
  const working = new Set<string>();
  const closed = new Set<number>();
  const open = new Set<number>();
  let shorted = false;
  let chattered = false;
  const overloaded = new Set<string>();
  for (const state of states) {
    const sight = stand.look(state, []);
    if (sight.kind === 'short') {
      if (!shorted) reportShort(circuit, sight, state.changes, report);
      shorted = true;
    } else if (sight.kind === 'chattering') {
      const actuators = [...new Set(sight.cycle.flat())];
      const part = circuit.actuators.find(({ name }) => actuators.includes(name))?.part ?? '';
      const where = circuit.parts.get(part)?.path ?? [];
      if (!chattered) report('contacts-chatter', { in: state.changes, actuators }, where);
      chattered = true;
    } else if (sight.kind === 'overload') {
      const { protector, amps, ratedAmps } = sight;
      const data = { protector, in: state.changes, amps, ratedAmps };
      if (!overloaded.has(protector))
        report('protector-opens', data, circuit.parts.get(protector)?.path ?? []);
      overloaded.add(protector);
    } else noteContacts(sight.view, closed, open, working);
  }
  if (complete && !shorted && !chattered && overloaded.size === 0)
    reportIdle(
      circuit,
      { closed, open, working, passing: relaysUnderWay(stand, states) },
      states.length,
      report,
    );
  return { states: states.length, complete };
}

interface Seen {
  readonly closed: ReadonlySet<number>;
  readonly open: ReadonlySet<number>;
  readonly working: ReadonlySet<string>;
  readonly passing: UnderWay;
}

/** What no state ever moves: loads that never work, contacts that never open or never close. */
function reportIdle(circuit: Circuit, seen: Seen, states: number, report: Report): void {
  const { closed, open, working, passing } = seen;
  for (const load of circuit.loads.values()) {
    const part = circuit.parts.get(load.part);
    if (!working.has(load.name) && part !== undefined && !passing(load.name))
      report('load-never-works', { load: load.name, states }, part.path);
  }
  for (const { index, name, gate, part } of circuit.branches) {
    if (gate === undefined || gate.kind === 'fault' || (closed.has(index) && open.has(index))) continue;
    if (gate.kind === 'actuator' && passing(circuit.actuators[gate.actuator]?.name ?? '')) continue;
    // What a module's output does is told of the output itself.
    if (circuit.parts.get(part)?.kind === 'module') continue;
    // A thermal fuse or cut-out is meant never to move while all is well within its condition's range.
    if (circuit.parts.get(part)?.kind === 'protector') continue;
    const always = closed.has(index) ? 'closed' : 'open';
    report('contact-never-moves', { contact: name, always, states }, circuit.parts.get(part)?.path ?? []);
  }
}

function noteContacts(view: View, closed: Set<number>, open: Set<number>, working: Set<string>): void {
  const { circuit } = view.point.plan;
  for (const { index, role } of circuit.branches) {
    if (isConductor(role)) (isPresent(view, index) ? closed : open).add(index);
  }
  for (const load of circuit.loads.values()) if (worksIn(view, load, 0) === 'yes') working.add(load.name);
}

function reportShort(
  circuit: Circuit,
  { supply, path }: ShortCircuit,
  changes: AuditProblemData['supply-shorted']['in'],
  report: Report,
): void {
  const names = path.map((index) => circuit.branches[index]?.name ?? '');
  const [first] = names;
  const part = circuit.parts.get(circuit.branches[path[0] ?? -1]?.part ?? '');
  if (first !== undefined) report('supply-shorted', { supply, in: changes, path: names }, part?.path ?? []);
}

/** Each pin map entry against the wiring; the entry's place is where a contradiction is reported. */
function auditPins(circuit: Circuit, report: Report): void {
  if (circuit.pinMap.length === 0) return;
  const { pins } = derivePins(circuit);
  for (const entry of circuit.pinMap) {
    const node = circuit.nodes[entry.node]?.name;
    const pin = pins.find((each) => each.node === node);
    if (pin === undefined || pin.agrees !== false) continue;
    const instead = pins.find(
      (each) =>
        each !== pin &&
        each.part === pin.part &&
        each.requires[entry.switch]?.includes(entry.position) === true,
    );
    const data = {
      node: pin.node,
      switch: entry.switch,
      position: entry.position,
      wiring: pin.live === 'never' ? undefined : pin.requires,
      instead: instead?.node,
    };
    report('pin-map-contradicted', data, entry.path);
  }
}

function auditExpectation(
  stand: TestStand,
  expectation: Expectation,
  report: Report,
): { index: number; holds: boolean } {
  if (expectation.kind === 'reading') {
    const { reading, path } = expectation;
    const { verdict, expected } = holdReading(stand, reading, []);
    const holds = verdict === 'agrees' || (expected.kind === 'floating' && isAboutZero(reading));
    if (!holds) {
      const { shown } = reading;
      const wanted =
        shown.kind === 'value' ? `${shown.value} ${shown.unit}` : shown.kind === 'over-range' ? 'OL' : '';
      report('expectation-differs', { index: reading.index, expected, wanted }, path);
    }
    return { index: reading.index, holds };
  }
  const { symptom, path } = expectation;
  const holds = holdSymptom(stand, symptom, []).verdict === 'agrees';
  if (!holds) {
    const sight = stand.look(symptom.state, []);
    const volts = sight.kind === 'steady' ? loadFigures(sight.view, symptom.load).volts : undefined;
    report(
      'expectation-works',
      { index: symptom.index, load: symptom.load.name, wanted: symptom.works, volts },
      path,
    );
  }
  return { index: symptom.index, holds };
}
