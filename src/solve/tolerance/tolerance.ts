import type { Branch } from '../../circuit/circuit.js';
import { multiply } from '../complex.js';
import { type Column, isPresent, type View } from '../view.js';
import { endsOf, magnitudesOf } from './climb.js';
import { type Part, Ports, type Source } from './ports.js';
import type { Spread, SupplySpreads } from './spread.js';

/**
 * Volts between two nodes as a meter of `inputOhms` shows them, over every corner of the part tolerances and supplies.
 * A voltage is monotone in each resistance while the others stay, so that in a network of resistances with all supplies
 * in phase the ends are at corners; a climb from part to part finds them (checked against all corners in tests/solve/tolerance.test.ts). With
 * reactances an end may lie inside a tolerance: the climb then looks at the middle of each as well, and the ends are
 * good to a small part of the band's width.
 */
export function voltsSpread(
  view: View,
  frequency: number,
  a: number,
  b: number,
  inputOhms: number,
  supplies: SupplySpreads,
): Spread {
  const open = view.volts(frequency, a, b);
  const probe = { ends: [a, b], amps: Math.hypot(open.re, open.im) / inputOhms } as const;
  const { ports, slack } = portsOf(view, frequency, probe, supplies);
  return endsOf(ports, { kind: 'volts', inputOhms }, slack);
}

/** The same for the amps in a branch, without sign. */
export function ampsSpread(view: View, frequency: number, branch: number, supplies: SupplySpreads): Spread {
  const y = view.admittance(frequency, branch);
  const siemens = Math.hypot(y.re, y.im);
  const probe = { ends: view.ends(branch), amps: 0, siemens };
  const { ports, slack } = portsOf(view, frequency, probe, supplies, branch);
  // Port 0, the meter's own, where the branch itself has no tolerance.
  const port = 1 + ports.parts.findIndex((part) => part.branch.index === branch);
  ports.yRe[0] = y.re;
  ports.yIm[0] = y.im;
  return magnitudesOf(ports, { kind: 'amps', port }, slack * siemens);
}

/** Ohms between two nodes of a dead network: the more any resistance, the more, so that two corners are the ends. */
export function ohmsSpread(view: View, a: number, b: number): Spread {
  const { ports, slack } = portsOf(view, 0, { ends: [a, b], amps: 1 }, new Map());
  const at = (end: 'least' | 'most') => {
    const corner = ports.copy();
    for (let port = 1; port < corner.count; port += 1) corner.set(port, corner.parts[port - 1]![end]);
    return corner.rowRe[0]! + (end === 'least' ? slack : -slack);
  };
  return { low: at('most'), high: at('least') };
}

/** Parts that move the reading by less than this (volts, amps, ohms) are added up instead of climbed: far below a count. */
const negligible = 1e-3;

/** Where the meter is, and the amps it draws at most, or drives in: an ohmmeter's are taken as 1. */
interface Probed {
  readonly ends: readonly [number, number];
  readonly amps: number;
  /** Siemens of a branch whose current is read: what a volt across it is worth. */
  readonly siemens?: number;
}

function portsOf(
  view: View,
  frequency: number,
  probed: Probed,
  spreads: SupplySpreads,
  metered?: number,
): { readonly ports: Ports; readonly slack: number } {
  const parts: Part[] = [];
  let slack = 0;
  const influence = influenceOn(view, frequency, probed);
  for (const branch of view.point.plan.circuit.branches) {
    const part = partOf(view, frequency, branch);
    if (part === undefined) continue;
    const moves = branch.index === metered ? Number.POSITIVE_INFINITY : influence(part);
    if (moves * (probed.siemens ?? 1) >= negligible) parts.push(part);
    else slack += moves;
  }
  const { sources, legs } = sourcesOf(view, frequency, spreads, metered);
  const volts =
    sources.length === 1
      ? [view.nodeVolts(frequency)]
      : legs.map((own) => contribution(view, frequency, own));
  return { ports: Ports.of(view, frequency, probed.ends, parts, sources, volts), slack };
}

/** A part that conducts as built and may be off its nominal value; undefined for any other branch. */
function partOf(view: View, frequency: number, branch: Branch): Part | undefined {
  const { index, impedance, atRest } = branch;
  const { overlay, conducts, plan } = view.point;
  if (!isPresent(view, index) || overlay.branches.has(index) || overlay.worn.has(index)) return undefined;
  const { tolerance, farads, dead } =
    (conducts[index] === 'at rest' ? atRest?.impedance : undefined) ?? impedance;
  const y = view.admittance(frequency, index);
  if (plan.purpose === 'dead' && dead !== undefined)
    return { branch, y, least: dead.ohms / dead.most, most: dead.ohms / dead.least };
  if (tolerance === 0 || (y.re === 0 && y.im === 0)) return undefined;
  // More capacitance is more admittance, more of anything else is less.
  return farads === undefined
    ? { branch, y, least: 1 / (1 + tolerance), most: 1 / (1 - tolerance) }
    : { branch, y, least: 1 - tolerance, most: 1 + tolerance };
}

/** Volts by which a part can move the reading, roughly: |z| |y| |u| of its tolerance, u with what the meter draws. */
function influenceOn(view: View, frequency: number, { ends: [a, b], amps }: Probed): (part: Part) => number {
  const column = view.column(frequency, a, b);
  const volts = view.nodeVolts(frequency);
  return ({ branch, y, least, most }) => {
    const [from, to] = view.ends(branch.index);
    const z = sizeBetween(column, from, to);
    const u = sizeBetween(volts, from, to) + amps * z;
    return z * u * Math.sqrt(y.re * y.re + y.im * y.im) * (most - least);
  };
}

function sizeBetween({ re, im }: Column, a: number, b: number): number {
  const x = (a < 0 ? 0 : re[a]!) - (b < 0 ? 0 : re[b]!);
  const y = (a < 0 ? 0 : im[a]!) - (b < 0 ? 0 : im[b]!);
  return Math.sqrt(x * x + y * y);
}

/** Supplies that drive anything at a frequency, with their legs; one stands for all where there is but one. */
function sourcesOf(
  view: View,
  frequency: number,
  spreads: SupplySpreads,
  metered: number | undefined,
): { readonly sources: Source[]; readonly legs: number[][] } {
  const legs = new Map<string, number[]>();
  for (const { index, emf } of view.point.plan.circuit.branches) {
    if (emf === undefined || !isPresent(view, index)) continue;
    const { re, im } = view.emf(frequency, index);
    if (re === 0 && im === 0) continue;
    legs.set(emf.supply, [...(legs.get(emf.supply) ?? []), index]);
  }
  if (legs.size === 0) legs.set('', []);
  const sources = [...legs].map(([supply, own]) => ({
    spread: spreads.get(supply) ?? 0,
    emf: metered !== undefined && own.includes(metered) ? view.emf(frequency, metered) : { re: 0, im: 0 },
  }));
  return { sources, legs: [...legs.values()] };
}

/** Volts of every node from one supply's legs alone: -sum of y e z. */
function contribution(view: View, frequency: number, legs: readonly number[]): Column {
  const count = view.point.structure.nodeCount;
  const sum = { re: new Float64Array(count), im: new Float64Array(count) };
  for (const leg of legs) {
    const drive = multiply(view.admittance(frequency, leg), view.emf(frequency, leg));
    const { re, im } = view.column(frequency, ...view.ends(leg));
    for (let node = 0; node < count; node += 1) {
      sum.re[node]! -= drive.re * re[node]! - drive.im * im[node]!;
      sum.im[node]! -= drive.re * im[node]! + drive.im * re[node]!;
    }
  }
  return sum;
}
