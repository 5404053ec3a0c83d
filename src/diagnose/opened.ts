import type { Circuit, Fault } from '../circuit/circuit.js';
import type { Overload, Plan, ShortCircuit } from '../solve/solve.js';

/** What a short or an overload opens: the protector, or the transformer; with none on the path, the building's protector. */
export function openedBy(circuit: Circuit, sight: ShortCircuit | Overload): Fault {
  if (sight.kind === 'overload') return open(sight.protector, sight.opens);
  const protector = circuit.protectors.get(sight.protector ?? '');
  return protector === undefined
    ? buildingOpen(circuit, sight.supply)
    : open(protector.name, protector.branch);
}

/** What an overload can open for good: rated protectors but those that close again, and transformers. */
export function openedByOverload({ circuit, limits }: Plan): readonly Fault[] {
  return limits.flatMap(({ name, branch }) =>
    circuit.protectors.get(name)?.closesAgain === true ? [] : open(name, branch),
  );
}

function open(part: string, branch: number): Fault {
  return { part, mode: 'open', changes: [{ kind: 'absent', branch }] };
}

/** Every live leg of the supply gone. */
function buildingOpen(circuit: Circuit, part: string): Fault {
  const live = circuit.supplies.get(part)?.legs.filter((leg) => leg.live) ?? [];
  return { part, mode: 'missing', changes: live.map(({ branch }) => ({ kind: 'absent', branch })) };
}
