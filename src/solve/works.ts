import type { Load, Ratio } from '../circuit/circuit.js';
import { isPresent, rmsVolts, type View } from './view.js';

/** Does its job, does not, or sits so near its limit that the supply's spread decides. */
export type Works = 'yes' | 'no' | 'marginal';

/**
 * Whether a load does its job: it is there, sound, and has its voltage. `supplySpread` is how far the supply may
 * be from what was solved, as a share.
 */
export function worksIn(view: View, load: Load, supplySpread: Ratio): Works {
  if (view.point.overlay.idleLoads.has(load.name)) return 'no';
  if (load.does.kind === 'output') return view.outputs[load.does.output] === true ? 'yes' : 'no';
  const { branch, atLeast } = load.does;
  // A load that a fault made a plain conductor (shorted) or took away (open) does no job at any voltage.
  if (!isPresent(view, branch) || view.point.overlay.branches.has(branch)) return 'no';
  const { from, to } = view.point.plan.circuit.branches[branch]!;
  const volts = rmsVolts(view, from, to) ?? 0;
  if (volts * (1 - supplySpread) >= atLeast) return 'yes';
  return volts * (1 + supplySpread) < atLeast ? 'no' : 'marginal';
}

/** Volts across a load and amps through it; undefined where nothing fixes them. */
export function loadFigures(
  view: View,
  load: Load,
): { readonly volts: number | undefined; readonly amps: number | undefined } {
  if (load.does.kind === 'output') return { volts: undefined, amps: undefined };
  return branchFigures(view, load.does.branch);
}

/** RMS volts across a branch and amps through it. */
export function branchFigures(
  view: View,
  branch: number,
): { readonly volts: number | undefined; readonly amps: number | undefined } {
  const [from, to] = view.ends(branch);
  const volts = rmsVolts(view, from, to);
  if (!isPresent(view, branch)) return { volts, amps: 0 };
  let square = 0;
  for (const [frequency, { emf }] of view.point.phasors.entries()) {
    const drop = view.volts(frequency, from, to);
    const y = view.admittance(frequency, branch);
    square +=
      ((drop.re + emf.re[branch]!) ** 2 + (drop.im + emf.im[branch]!) ** 2) * (y.re * y.re + y.im * y.im);
  }
  return { volts, amps: Math.sqrt(square) };
}
