import type { Load, Ratio } from '../circuit/circuit.js';
import { add, type Complex, multiply } from './complex.js';
import { isPresent, rmsVolts, type View } from './view.js';

/** Does its job, does not, or sits so near its limit that the supply's spread decides. */
export type Works = 'yes' | 'no' | 'marginal';

/**
 * Whether a load does its job: it is there, sound, and has its voltage. `supplySpread` is how far the supply may
 * be from what was solved, as a share.
 */
export function worksIn(view: View, load: Load, supplySpread: Ratio): Works {
  if (load.does.kind === 'actuator' || !lacksOnlyVolts(view, load))
    return doesActuate(view, load) ? 'yes' : 'no';
  const { branch, atLeast } = load.does;
  const volts = workingVolts(view, branch);
  if (volts * (1 - supplySpread) >= atLeast) return 'yes';
  return volts * (1 + supplySpread) < atLeast ? 'no' : 'marginal';
}

function doesActuate({ on, point }: View, { name, does }: Load): boolean {
  return does.kind === 'actuator' && !point.overlay.idleLoads.has(name) && on[does.actuator] === true;
}

/** Whether a load that works at some voltage would do so here: it is there, sound, and a motor was started. */
export function lacksOnlyVolts(view: View, { name, does }: Load): boolean {
  if (does.kind === 'actuator') return false;
  const { branch, actuator } = does;
  const { overlay } = view.point;
  // A load that a fault made a plain conductor (shorted) or took away (open) does no job at any voltage.
  const isSound = isPresent(view, branch) && !overlay.branches.has(branch) && !overlay.idleLoads.has(name);
  // A motor that was not started stands still at any voltage.
  return isSound && (actuator === undefined || view.on[actuator] === true);
}

/**
 * Volts across a load, or, where it has another resistance than it should, no more than would drive what it carries
 * through the sound one: an element with twice its ohms has all its volts and half its heat.
 */
export function workingVolts(view: View, branch: number): number {
  const { from, to, impedance } = view.point.plan.circuit.branches[branch]!;
  const volts = rmsVolts(view, from, to) ?? 0;
  if (!view.point.overlay.worn.has(branch)) return volts;
  const sound = Math.hypot(impedance.ohms, impedance.reactanceOhms);
  return Math.min(volts, branchFigures(view, branch).amps * sound);
}

/** Volts across a load and amps through it; undefined where nothing fixes them. */
export function loadFigures(
  view: View,
  load: Load,
): { readonly volts: number | undefined; readonly amps: number | undefined } {
  const { branch } = load.does;
  return branch === undefined ? { volts: undefined, amps: undefined } : branchFigures(view, branch);
}

/** RMS volts across a branch and amps through it. */
export function branchFigures(
  view: View,
  branch: number,
): { readonly volts: number | undefined; readonly amps: number } {
  const [from, to] = view.ends(branch);
  const volts = rmsVolts(view, from, to);
  if (!isPresent(view, branch)) return { volts, amps: 0 };
  let square = 0;
  for (const frequency of view.point.phasors.keys()) {
    const { re, im } = branchAmps(view, frequency, branch);
    square += re * re + im * im;
  }
  return { volts, amps: Math.sqrt(square) };
}

/** Amps from a branch's first node to its second at one frequency; 0 for one that does not conduct. */
export function branchAmps(view: View, frequency: number, branch: number): Complex {
  const [from, to] = view.ends(branch);
  const drive = add(view.volts(frequency, from, to), view.emf(frequency, branch));
  return multiply(view.admittance(frequency, branch), drive);
}
