import type { Circuit, Fault, Supply } from '../../circuit/circuit.js';
import type { Overload, Plan, ShortCircuit } from '../../solve/solve.js';

/** What a short or an overload opens: the protector, or the transformer; with none on the path, the building's protector. */
export function openedBy(circuit: Circuit, sight: ShortCircuit | Overload): Fault {
  if (sight.kind === 'overload') return open(circuit, sight.protector, sight.opens);
  const protector = circuit.protectors.get(sight.protector ?? '');
  if (protector !== undefined) return open(circuit, protector.name, protector.branch);
  const supply = circuit.supplies.get(sight.supply);
  if (supply === undefined) throw new Error(`no supply ${sight.supply}`);
  return buildingOpen(circuit, supply);
}

/** All that a short could open. */
export function openedByShort(circuit: Circuit): readonly Fault[] {
  const { protectors, supplies } = circuit;
  const rated = [...protectors.values()].filter(({ opensOnCurrent }) => opensOnCurrent);
  return [
    ...rated.map(({ name, branch }) => open(circuit, name, branch)),
    ...[...supplies.values()].map((supply) => buildingOpen(circuit, supply)),
  ];
}

/** What an overload can open for good: rated protectors but those that close again, and transformers. */
export function openedByOverload({ circuit, limits }: Plan): readonly Fault[] {
  return limits.flatMap(({ name, branch }) =>
    circuit.protectors.get(name)?.closesAgain === true ? [] : open(circuit, name, branch),
  );
}

const known = new WeakMap<Circuit, Map<string, Fault>>();

/** The same object each time, so that what comes of it is kept (`Workbench`). */
function once(circuit: Circuit, key: string, make: () => Fault): Fault {
  const kept = known.get(circuit) ?? new Map<string, Fault>();
  known.set(circuit, kept);
  const fault = kept.get(key) ?? make();
  kept.set(key, fault);
  return fault;
}

function open(circuit: Circuit, part: string, branch: number): Fault {
  return once(circuit, `${branch} ${part}`, () => ({
    part,
    mode: 'open',
    changes: [{ kind: 'absent', branch }],
  }));
}

/** Every live leg of the supply gone. */
function buildingOpen(circuit: Circuit, { name, legs }: Supply): Fault {
  const live = legs.filter((leg) => leg.live);
  return once(circuit, `missing ${name}`, () => ({
    part: name,
    mode: 'missing',
    changes: live.map(({ branch }) => ({ kind: 'absent', branch })),
  }));
}
