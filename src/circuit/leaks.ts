import { isConductor } from './branch.js';
import { defaultOhms, faultRange } from './defaults.js';
import type { Draft } from './draft.js';
import type { Change, Fault, VariableFault } from './fault.js';
import type { Circuit } from './model.js';
import type { State } from './state.js';
import type { Ohms } from './units.js';

/**
 * Where a chafed wire or a broken down element leaks to: the metal of the appliance. That is what the file marks as its
 * chassis, else the far end of the earth wires, else (nothing is earthed) the neutral of an earthed supply, with which
 * the ground is one in the building.
 */
function chassisOf(draft: Draft): number | undefined {
  const marked = draft.nodes.find(({ note }) => note?.chassis === true);
  if (marked !== undefined) return marked.index;
  const legs = [...draft.supplies.values()].flatMap((supply) => supply.legs);
  const earth = legs.find(({ name }) => name === 'earth');
  if (earth !== undefined) return reachedFrom(draft, earth.node).at(-1);
  return legs.find(({ name, branch }) => name === 'neutral' && (draft.branches[branch]?.from ?? 0) < 0)?.node;
}

/** Nodes that conductors without a contact among them join to one, nearest first. */
function reachedFrom({ branches }: Draft, start: number): number[] {
  const reached = [start];
  for (const node of reached) {
    for (const { role, gate, from, to } of branches) {
      if (!isConductor(role) || gate !== undefined || (from !== node && to !== node)) continue;
      const far = from === node ? to : from;
      if (!reached.includes(far)) reached.push(far);
    }
  }
  return reached;
}

/** Gives wires and loads their leaks: to a dead earth, and through some resistance. One spare branch stands for whichever there is. */
export function addLeaks(draft: Draft): void {
  const chassis = chassisOf(draft);
  const [part] = draft.supplies.keys();
  if (chassis === undefined || part === undefined) return;
  const earthed = new Set(reachedFrom(draft, chassis));
  const other = draft.nodes.find(({ index }) => index !== chassis);
  if (other === undefined) return;
  const spare = draft.addBranch({
    name: `${part}.(leak)`,
    part,
    role: 'passive',
    from: other.index,
    to: chassis,
    impedance: { ohms: defaultOhms.shorted, reactanceOhms: 0, tolerance: 0 },
    gate: { kind: 'fault' },
  });
  for (const each of [...draft.parts.values()]) {
    const branch = draft.branches[each.branches[0] ?? -1];
    if (branch === undefined || !(each.kind === 'wire' || each.kind === 'load')) continue;
    const ends = each.kind === 'wire' ? [branch.to] : [branch.from, branch.to];
    const leaks = ends
      .filter((node) => !earthed.has(node))
      .map((node) =>
        leakAt(
          each.name,
          each.kind === 'wire' ? undefined : terminal(draft, each.name, node),
          spare,
          node,
          chassis,
        ),
      );
    draft.parts.set(each.name, {
      ...each,
      faults: [...each.faults, ...leaks.map(({ dead }) => dead)],
      variableFaults: [...(each.variableFaults ?? []), ...leaks.map(({ through }) => through)],
    });
  }
}

/**
 * A fault as it is in a state. What leaks in a wire goes with the wire where that is lifted off the terminal it is noted
 * at: it is to be found at the far end then, and lifted at both ends nowhere.
 */
export function asLifted({ parts, branches, nodes }: Circuit, { disconnected }: State, fault: Fault): Fault {
  const part = fault.mode === 'leaks-to-earth' ? parts.get(fault.part) : undefined;
  const wire = part?.kind === 'wire' ? branches[part.branches[0] ?? -1] : undefined;
  const isLifted = (node: number) => disconnected.has(nodes[node]?.name ?? '');
  if (wire === undefined || !isLifted(wire.to)) return fault;
  if (isLifted(wire.from)) return { ...fault, changes: [] };
  return {
    ...fault,
    changes: fault.changes.map((each) => (each.kind === 'moved' ? { ...each, from: wire.from } : each)),
  };
}

/** `BAKE.1` of BAKE is its terminal 1. */
function terminal(draft: Draft, part: string, node: number): string {
  const name = draft.nodes[node]?.name ?? '';
  return name.startsWith(`${part}.`) ? name.slice(part.length + 1) : name;
}

function leakAt(
  part: string,
  at: string | undefined,
  spare: number,
  node: number,
  chassis: number,
): { readonly dead: Fault; readonly through: VariableFault } {
  const where = at === undefined ? {} : { at };
  const changes = (ohms: Ohms): readonly Change[] => [
    { kind: 'moved', branch: spare, from: node, to: chassis },
    { kind: 'conducts', branch: spare, ohms },
  ];
  return {
    dead: { part, mode: 'leaks-to-earth', ...where, changes: changes(defaultOhms.shorted) },
    through: {
      part,
      mode: 'leaks-to-earth',
      ...where,
      unit: 'ohm',
      sound: Number.POSITIVE_INFINITY,
      range: { least: faultRange.leakOhms, most: faultRange.mostOhms },
      changes,
    },
  };
}
