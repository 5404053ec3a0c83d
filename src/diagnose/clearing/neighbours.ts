import type { Circuit, PartKindName } from '../../circuit/circuit.js';
import { pathsToPair, rmsVolts, type SupplyPath, type View } from '../../solve/solve.js';

/** Two places, and the load between them, which is no way to either. */
export interface Pair {
  readonly between: readonly [number, number];
  readonly load?: number;
}

/** Parts on either side of what is suspected that are told of. */
const oneSide = 2;

/** All that are told of. */
const mostTold = 5;

/** What people suspect before any wire (common practice, no source). */
const likely: ReadonlySet<PartKindName | undefined> = new Set([
  'supply',
  'protector',
  'switch',
  'relay',
  'module',
]);

/**
 * The parts that stand next to the suspected ones on the way from the supply to a pair of places, and those on the
 * same way, and on the ways of the signals that close it, which a person would suspect first. In the order of the way.
 */
export function neighboursOf(view: View, pair: Pair, suspected: ReadonlySet<string>): string[] {
  const { circuit } = view.point.plan;
  const ways = waysTo(view, pair);
  const next = new Set(ways.flatMap((way) => besides(way, suspected)));
  const first = ways.flat().filter((part) => likely.has(circuit.parts.get(part)?.kind));
  const told = [...new Set([...next, ...first])].filter((part) => !suspected.has(part)).slice(0, mostTold);
  return [...new Set(ways.flat())].filter((part) => told.includes(part));
}

/** Two before the first suspected part of a way, two behind the last. */
function besides(way: readonly string[], suspected: ReadonlySet<string>): string[] {
  const first = way.findIndex((part) => suspected.has(part));
  const last = way.findLastIndex((part) => suspected.has(part));
  if (first === -1) return [];
  return [...way.slice(Math.max(0, first - oneSide), first), ...way.slice(last + 1, last + 1 + oneSide)];
}

/** Parts from the supply on to either place, the load last; and to what closes the contacts on them. */
function waysTo(view: View, { between, load }: Pair): string[][] {
  const { circuit } = view.point.plan;
  const { a, b } = pathsToPair(view, ...between, load);
  const end = load === undefined ? [] : [circuit.branches[load]?.part ?? ''];
  const paths = [a, b].filter((path) => path !== undefined);
  const signals = paths.flatMap((path) => signalsOn(view, path));
  const fed = signals.flatMap((signal) => Object.values(pathsToPair(view, ...signal)));
  return [
    ...paths.map((path) => [...partsOn(circuit, path), ...end]),
    ...fed.map((path) => partsOn(circuit, path)),
  ];
}

function partsOn({ branches }: Circuit, { supply, steps }: SupplyPath): string[] {
  return [...new Set([supply, ...steps.map(({ branch }) => branches[branch]?.part ?? '')])];
}

/** The pairs whose voltage closes a contact on the path: a module's signals that are there, a relay's coil. */
function signalsOn(view: View, { steps }: SupplyPath): (readonly [number, number])[] {
  const { circuit } = view.point.plan;
  return steps.flatMap(({ branch }) => {
    const gate = circuit.branches[branch]?.gate;
    const actuator = gate?.kind === 'actuator' ? circuit.actuators[gate.actuator] : undefined;
    if (actuator?.kind === 'relay') {
      const [from, to] = view.ends(actuator.branch);
      return [[from, to] as const];
    }
    return actuator?.kind === 'output' ? signalsOf(view, actuator.part) : [];
  });
}

function signalsOf(view: View, module: string): (readonly [number, number])[] {
  const inputs = view.point.plan.circuit.modules.get(module)?.inputs ?? [];
  return inputs.flatMap(({ between, atLeast }) =>
    (rmsVolts(view, ...between) ?? 0) >= atLeast ? [between] : [],
  );
}
