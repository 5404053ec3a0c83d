import type { Fault, Ohms } from '../circuit/circuit.js';

/** Faults laid over a circuit: what each does to branches and outputs, gathered for look-up. */
export interface Overlay {
  /** Branch index to the resistance it conducts with whatever its gate says; `absent` never conducts. */
  readonly branches: ReadonlyMap<number, Ohms | 'absent'>;
  readonly moved: ReadonlyMap<number, { readonly from: number; readonly to: number }>;
  /** Module outputs held on or off. */
  readonly outputs: ReadonlyMap<number, boolean>;
  readonly idleLoads: ReadonlySet<string>;
}

export const noOverlay: Overlay = {
  branches: new Map(),
  moved: new Map(),
  outputs: new Map(),
  idleLoads: new Set(),
};

/** Later faults win where two touch one branch. */
export function overlayOf(faults: readonly Fault[]): Overlay {
  const branches = new Map<number, Ohms | 'absent'>();
  const moved = new Map<number, { readonly from: number; readonly to: number }>();
  const outputs = new Map<number, boolean>();
  const idleLoads = new Set<string>();
  for (const change of faults.flatMap((fault) => fault.changes)) {
    switch (change.kind) {
      case 'absent':
        branches.set(change.branch, 'absent');
        break;
      case 'conducts':
        branches.set(change.branch, change.ohms);
        break;
      case 'moved':
        moved.set(change.branch, { from: change.from, to: change.to });
        break;
      case 'output':
        outputs.set(change.output, change.on);
        break;
      case 'idle':
        idleLoads.add(change.load);
        break;
    }
  }
  return { branches, moved, outputs, idleLoads };
}
