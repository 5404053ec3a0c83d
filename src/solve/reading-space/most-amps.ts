import type { Branch } from '../../circuit/circuit.js';
import { rootOf } from '../kernel/islands.js';
import type { Plan, SupplyScale } from '../plan.js';

/**
 * Resistances and inductances: all amps are within a right angle of one another, so the power of a network is at least
 * the sum of |v|^2 |y| over this, and (Cauchy) what goes into it at most this many times its volts and all |y|.
 */
const skew = Math.SQRT2;
/** Across a part stand hardly more volts than all supplies add up to; twice as many are taken to be more. */
const mostVoltsShare = 2;

/** A network with all that conducts at worst. */
export interface Worst {
  readonly plan: Plan;
  readonly scale: SupplyScale;
  readonly conducts: Uint8Array;
  readonly isPlain: Uint8Array;
  readonly net: Int32Array;
  readonly island: Int32Array;
  place(node: number): number;
}

/**
 * Amps beyond which a transformer's primary, or a protector, can't get, whatever is taken away and whichever contacts are open; infinite where
 * that is not as plain as that: capacitors, several frequencies, one transformer behind another.
 */
export function mostAmps(worst: Worst, branch: number): number {
  const { plan, island, place } = worst;
  const { branches } = plan.circuit;
  const limited = branches[branch]!;
  const own = island[place(limited.from)]!;
  const driven = drivenBy(worst, own);
  const isOf = (at: number, { from, index }: Branch) =>
    worst.conducts[index] === 1 && island[place(from)] === at;
  if (driven === undefined || branches.some((each) => each.impedance.farads !== undefined && isOf(own, each)))
    return unbound;
  const volts = mostVoltsShare * driven.volts;
  if (limited.winding === undefined) {
    // Supplies with zeros of their own could drive one another round a ring of conductors.
    const zeros = new Set(plan.legs.filter((each) => isOf(own, each)).map(({ from }) => from));
    if (zeros.size > 1 || branches.some((each) => each.winding !== undefined && isOf(own, each)))
      return unbound;
    return skew * volts * siemensOf(worst, own, driven.frequency);
  }
  const core = limited.winding.transformer;
  const { windings } = plan.circuit.transformers[core]!;
  const fed = new Map<number, number>();
  for (const each of windings) {
    const { from, winding } = branches[each]!;
    if (each === branch || worst.conducts[each] !== 1) continue;
    const at = island[place(from)]!;
    fed.set(at, (fed.get(at) ?? 0) + winding!.turns);
  }
  // As seen from a winding of one volt.
  let siemens = Math.abs(plan.magnetising[driven.frequency]!.im[core]!);
  for (const [at, turns] of fed) {
    if (at === own || !isFedAlone(worst, at, windings)) return unbound;
    siemens += skew * turns * turns * siemensOf(worst, at, driven.frequency);
  }
  return (volts * siemens) / limited.winding.turns ** 2;
}

const unbound = Number.POSITIVE_INFINITY;

/** All volts that legs of an island could add up to, and their frequency; undefined where there are several, or dc. */
function drivenBy({ plan, scale, conducts, island, place }: Worst, at: number) {
  let volts = 0;
  let hertz: number | undefined;
  for (const { index, emf, to } of plan.legs) {
    if (emf === undefined || conducts[index] !== 1 || island[place(to)] !== at) continue;
    if (hertz !== undefined && emf.hertz !== hertz) return undefined;
    hertz = emf.hertz;
    volts += Math.abs(emf.volts) * (scale.get(emf.supply) ?? 1);
  }
  if (hertz === undefined) return undefined;
  return { volts, frequency: plan.frequencies.indexOf(hertz) };
}

/** Siemens of all parts of an island that are no conductors, in every way in which they may conduct. */
function siemensOf({ plan, conducts, isPlain, island, place }: Worst, at: number, frequency: number): number {
  const own = plan.admittances[frequency]!;
  const rest = plan.restAdmittances[frequency]!;
  let sum = 0;
  for (const { index, from, role, sensor } of plan.circuit.branches) {
    if (conducts[index] !== 1 || isPlain[index] === 1 || island[place(from)] !== at) continue;
    if (role === 'winding' || role === 'source') continue;
    if (sensor !== undefined) return Number.POSITIVE_INFINITY;
    sum += Math.max(Math.hypot(own.re[index]!, own.im[index]!), Math.hypot(rest.re[index]!, rest.im[index]!));
  }
  return sum;
}

/** Whether nothing but these windings drives an island, and conductors close no ring through them. */
function isFedAlone(worst: Worst, at: number, windings: readonly number[]): boolean {
  const { plan, conducts, island, net, place } = worst;
  const rings = net.slice();
  for (const { index, from, to, role, winding, impedance } of plan.circuit.branches) {
    if (conducts[index] !== 1 || island[place(from)] !== at) continue;
    if (role === 'source' || impedance.farads !== undefined) return false;
    if (winding === undefined) continue;
    if (!windings.includes(index)) return false;
    const one = rootOf(rings, place(from));
    const other = rootOf(rings, place(to));
    if (one === other) return false;
    rings[one] = other;
  }
  return true;
}
