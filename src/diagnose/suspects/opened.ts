import type { Circuit, Fault, Supply } from '../../circuit/circuit.js';
import type { Overload, Plan, ShortCircuit } from '../../solve/solve.js';

/** What a short or an overload opens: the protector, or the transformer; with none on the path, the building's protector. */
export function openedBy(circuit: Circuit, sight: ShortCircuit | Overload): Fault {
  if (sight.kind === 'overload') return open(sight.protector, sight.opens);
  const protector = circuit.protectors.get(sight.protector ?? '');
  if (protector !== undefined) return open(protector.name, protector.branch);
  const supply = circuit.supplies.get(sight.supply);
  if (supply === undefined) throw new Error(`no supply ${sight.supply}`);
  return buildingOpen(supply);
}

/** All that a short could open. */
export function openedByShort({ protectors, supplies }: Circuit): readonly Fault[] {
  const rated = [...protectors.values()].filter(({ opensOnCurrent }) => opensOnCurrent);
  return [
    ...rated.map(({ name, branch }) => open(name, branch)),
    ...[...supplies.values()].map((supply) => buildingOpen(supply)),
  ];
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
function buildingOpen({ name, legs }: Supply): Fault {
  const live = legs.filter((leg) => leg.live);
  return {
    part: name,
    mode: 'missing',
    changes: live.map(({ branch }) => ({ kind: 'absent', branch })),
  };
}
