import type { Fault, Ohms, Ratio } from '../circuit/circuit.js';

/** Faults laid over a circuit: what each does to branches, actuators and supplies, gathered for look-up. */
export interface Overlay {
  /** Branch index to the resistance it conducts with whatever its gate says; `absent` never conducts. */
  readonly branches: ReadonlyMap<number, Ohms | 'absent'>;
  /** Branch index to the resistance it has where its gate lets it conduct. */
  readonly worn: ReadonlyMap<number, Ohms>;
  readonly moved: ReadonlyMap<number, { readonly from: number; readonly to: number }>;
  /** Actuators held on or off. */
  readonly held: ReadonlyMap<number, boolean>;
  /** Supply name to the share of its nominal voltage that it gives. */
  readonly supplies: ReadonlyMap<string, Ratio>;
  readonly idleLoads: ReadonlySet<string>;
}

export const noOverlay: Overlay = overlayOf([]);

/** Later faults win where two touch one branch. */
export function overlayOf(faults: readonly Fault[]): Overlay {
  const branches = new Map<number, Ohms | 'absent'>();
  const worn = new Map<number, Ohms>();
  const moved = new Map<number, { readonly from: number; readonly to: number }>();
  const held = new Map<number, boolean>();
  const supplies = new Map<string, Ratio>();
  const idleLoads = new Set<string>();
  for (const change of faults.flatMap((fault) => fault.changes)) {
    switch (change.kind) {
      case 'absent':
        branches.set(change.branch, 'absent');
        break;
      case 'conducts':
        branches.set(change.branch, change.ohms);
        break;
      case 'worn':
        worn.set(change.branch, change.ohms);
        break;
      case 'moved':
        moved.set(change.branch, { from: change.from, to: change.to });
        break;
      case 'held':
        held.set(change.actuator, change.on);
        break;
      case 'scaled':
        supplies.set(change.supply, change.share);
        break;
      case 'idle':
        idleLoads.add(change.load);
        break;
    }
  }
  return { branches, worn, moved, held, supplies, idleLoads };
}
