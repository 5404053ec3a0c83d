import type { Branch, Ratio } from '../circuit/circuit.js';
import { add, type Complex, divide, multiply, subtract } from './complex.js';
import { isPresent, type View } from './view.js';

/** What a reading can be over part tolerances and supply voltages; with its sign where the network is real. */
export interface Spread {
  readonly low: number;
  readonly high: number;
}

/** How far each supply may be from what was solved, by name. */
export type SupplySpreads = ReadonlyMap<string, Ratio>;

/**
 * The network as seen from some pairs of nodes (ports): the volts U at each, from every supply, and the impedances Z
 * between them. Port 0 is where the meter is; the others are the parts that have a tolerance. One part changed by dy
 *
 *   k = dy / (1 + dy Z_ii)      U_j -= Z_ji k U_i      Z_jl -= Z_ji k Z_il
 *
 * leaves such a network again, so that any corner of the tolerances is reached part by part, without solving anew.
 */
interface Ports {
  readonly count: number;
  readonly sources: readonly Source[];
  /** By source and port. */
  readonly u: Complex[][];
  /** Row by row. */
  readonly z: Complex[];
  /** Siemens of each port's part as it stands; at port 0 of the metered branch, if it is one. */
  readonly y: Complex[];
  readonly parts: readonly Part[];
}

interface Source {
  readonly spread: Ratio;
  /** EMF in the metered branch itself, for its current. */
  readonly emf: Complex;
}

/** A part with a tolerance: its admittance as built, and by what that is multiplied at the ends of its tolerance. */
interface Part {
  readonly branch: Branch;
  readonly y: Complex;
  readonly least: number;
  readonly most: number;
}

/** What is asked of the network in a corner, from port 0. */
type Figure = (seen: {
  readonly u: readonly Complex[];
  readonly z: Complex;
  readonly y: Complex;
}) => Complex[];

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
  const figure: Figure = ({ u, z }) => {
    const load = divide({ re: inputOhms, im: 0 }, { re: inputOhms + z.re, im: z.im });
    return u.map((each) => multiply(each, load));
  };
  return ends(ports, figure, slack);
}

/** The same for the amps in a branch, without sign. */
export function ampsSpread(view: View, frequency: number, branch: number, supplies: SupplySpreads): Spread {
  const y = view.admittance(frequency, branch);
  const probe = { ends: view.ends(branch), amps: 0, siemens: size(y) };
  const { ports, slack } = portsOf(view, frequency, probe, supplies, branch);
  // Port 0, the meter's own, where the branch itself has no tolerance.
  const own = 1 + ports.parts.findIndex((part) => part.branch.index === branch);
  ports.y[0] = y;
  const figure: Figure = (seen) =>
    seen.u.map((each, source) => multiply(seen.y, add(each, ports.sources[source]!.emf)));
  return magnitudes(ends(ports, figure, slack * size(y), own));
}

/** A display of ac has no sign: a reading that may pass through nothing begins there. */
export function magnitudes({ low, high }: Spread): Spread {
  if (low <= 0 && high >= 0) return { low: 0, high: Math.max(high, -low) };
  return low > 0 ? { low, high } : { low: -high, high: -low };
}

/** Ohms between two nodes of a dead network: the more any resistance, the more, so that two corners are the ends. */
export function ohmsSpread(view: View, a: number, b: number): Spread {
  const at = (end: 'least' | 'most') => {
    const { ports, slack } = portsOf(view, 0, { ends: [a, b], amps: 1 }, new Map());
    for (let port = 1; port < ports.count; port += 1) setPart(ports, port, ports.parts[port - 1]![end]);
    return ports.z[0]!.re + (end === 'least' ? slack : -slack);
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
  for (const branch of view.point.plan.circuit.branches) {
    const part = partOf(view, frequency, branch);
    if (part === undefined) continue;
    const moves =
      branch.index === metered ? Number.POSITIVE_INFINITY : influence(view, frequency, probed, part);
    if (moves * (probed.siemens ?? 1) >= negligible) parts.push(part);
    else slack += moves;
  }
  const pairs = [probed.ends, ...parts.map(({ branch }) => view.ends(branch.index))];
  const { sources, legs } = sourcesOf(view, frequency, spreads, metered);
  const z: Complex[] = [];
  for (const [i, [c, d]] of pairs.entries())
    for (const [j, [e, f]] of pairs.entries())
      z.push(j < i ? z[j * pairs.length + i]! : view.transfer(frequency, c, d, e, f));
  const u = legs.map((own) =>
    pairs.map(([c, d]) =>
      sources.length === 1 ? view.volts(frequency, c, d) : contribution(view, frequency, own, c, d),
    ),
  );
  const y = [{ re: 0, im: 0 }, ...parts.map((part) => part.y)];
  return { ports: { count: pairs.length, sources, u, z, y, parts }, slack };
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
function influence(view: View, frequency: number, { ends: [a, b], amps }: Probed, part: Part): number {
  const { branch, y, least, most } = part;
  const [from, to] = view.ends(branch.index);
  const z = size(view.transfer(frequency, a, b, from, to));
  const u = size(view.volts(frequency, from, to)) + amps * z;
  return z * u * size(y) * (most - least);
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

/** Volts between two nodes from one supply's legs alone: -sum of y e z. */
function contribution(view: View, frequency: number, legs: readonly number[], c: number, d: number): Complex {
  return legs.reduce<Complex>(
    (sum, leg) => {
      const drive = multiply(view.admittance(frequency, leg), view.emf(frequency, leg));
      return subtract(sum, multiply(drive, view.transfer(frequency, c, d, ...view.ends(leg))));
    },
    { re: 0, im: 0 },
  );
}

/** Gives a part this multiple of its nominal admittance. */
function setPart(ports: Ports, port: number, multiple: number): void {
  const { count, u, z, y, parts } = ports;
  const k = compensation(ports, port, multiple);
  const column = Array.from({ length: count }, (_, j) => multiply(z[j * count + port]!, k));
  for (const volts of u) {
    const own = volts[port]!;
    for (let j = 0; j < count; j += 1) volts[j] = subtract(volts[j]!, multiply(column[j]!, own));
  }
  const row = Array.from({ length: count }, (_, l) => z[port * count + l]!);
  for (let j = 0; j < count; j += 1)
    for (let l = 0; l < count; l += 1)
      z[j * count + l] = subtract(z[j * count + l]!, multiply(column[j]!, row[l]!));
  y[port] = scaled(parts[port - 1]!.y, multiple);
}

/** k of a part's change to a multiple of its nominal admittance. */
function compensation({ count, z, y, parts }: Ports, port: number, multiple: number): Complex {
  const dy = subtract(scaled(parts[port - 1]!.y, multiple), y[port]!);
  return divide(dy, add({ re: 1, im: 0 }, multiply(dy, z[port * count + port]!)));
}

/** What port 0 shows with one part changed, without changing anything. */
function seenWith(ports: Ports, figure: Figure, port: number, multiple: number, own: number): Complex[] {
  const k = compensation(ports, port, multiple);
  const { count, u, z, y, parts } = ports;
  const along = multiply(z[port]!, k);
  const volts = u.map((each) => subtract(each[0]!, multiply(along, each[port]!)));
  const changed = own === port ? scaled(parts[port - 1]!.y, multiple) : y[own]!;
  return figure({ u: volts, z: subtract(z[0]!, multiply(along, z[port * count]!)), y: changed });
}

function seenNow(ports: Ports, figure: Figure, own: number): Complex[] {
  return figure({ u: ports.u.map((each) => each[0]!), z: ports.z[0]!, y: ports.y[own]! });
}

/** Passes over all parts before a climb is taken to have arrived; two or three are usual. */
const mostPasses = 8;

/**
 * Where climbs begin: at nominal parts; and where a part turned back on the way, as in a bridge that may have more than
 * one summit, from two corners far apart as well.
 */
const starts = [undefined, 'least', 'most'] as const;

/** Both ends of a figure; `own` is the port of the metered branch. */
function ends(ports: Ports, figure: Figure, slack: number, own = 0): Spread {
  const real = isReal(ports);
  const nominal = seenNow(ports, figure, own);
  const sign = real && sumOf(nominal).re < 0 ? -1 : 1;
  const value = (seen: readonly Complex[], way: 1 | -1): number => {
    const { re, im } = sumOf(seen);
    const amount = real ? sign * re : Math.hypot(re, im);
    const drift = seen.reduce(
      (sum, each, source) => sum + Math.hypot(each.re, each.im) * ports.sources[source]!.spread,
      0,
    );
    return way * amount + drift;
  };
  const [high, low] = ([1, -1] as const).map((way) => {
    let top = Number.NEGATIVE_INFINITY;
    for (const start of starts) {
      const climbed = copyOf(ports);
      if (start !== undefined)
        for (let port = 1; port < climbed.count; port += 1)
          setPart(climbed, port, climbed.parts[port - 1]![start]);
      const straight = climb(climbed, real, (port, multiple) =>
        value(
          port === 0 ? seenNow(climbed, figure, own) : seenWith(climbed, figure, port, multiple, own),
          way,
        ),
      );
      top = Math.max(top, value(seenNow(climbed, figure, own), way));
      if (straight) break;
    }
    return way * top;
  }) as [number, number];
  const least = real ? low - slack : lowOutOfPhase(low - slack, high);
  return sign === 1 ? { low: least, high: high + slack } : { low: -(high + slack), high: -least };
}

/**
 * Sets each part in turn where the worth is greatest, until none moves; false where one was set more than once.
 * `worth(0, 1)` is that of the network as it is.
 */
function climb(ports: Ports, real: boolean, worth: (port: number, multiple: number) => number): boolean {
  let straight = true;
  for (let pass = 0; pass < mostPasses; pass += 1) {
    let moved = false;
    for (let port = 1; port < ports.count; port += 1) {
      const { least, most } = ports.parts[port - 1]!;
      let best = worth(0, 1) + tiny;
      let chosen: number | undefined;
      for (const multiple of real ? [least, most] : [least, (least + most) / 2, most]) {
        const found = worth(port, multiple);
        if (found <= best) continue;
        best = found;
        chosen = multiple;
      }
      if (chosen === undefined) continue;
      setPart(ports, port, chosen);
      moved = true;
    }
    if (!moved) return straight;
    if (pass > 0) straight = false;
  }
  return straight;
}

/**
 * Phasors that nearly cancel (the star point of three phases) may cancel altogether somewhere inside the tolerances,
 * where a climb to a corner does not look.
 */
function lowOutOfPhase(low: number, high: number): number {
  return low < mayCancel * high ? 0 : low;
}

/** Share of the high end below which the low one is taken to be nothing. */
const mayCancel = 0.25;

/** Volts (or amps) that make no corner better than another. */
const tiny = 1e-9;

function copyOf({ u, z, y, ...rest }: Ports): Ports {
  return { ...rest, u: u.map((each) => [...each]), z: [...z], y: [...y] };
}

/** Whether nothing is out of phase: then volts have a sign, and may pass through 0 between two corners. */
function isReal({ u, z, y }: Ports): boolean {
  const all = [...u.flat(), ...z, ...y];
  return all.every(({ re, im }) => Math.abs(im) <= 1e-12 * Math.abs(re) || Math.abs(im) < 1e-15);
}

function size({ re, im }: Complex): number {
  return Math.hypot(re, im);
}

function sumOf(values: readonly Complex[]): Complex {
  return values.reduce(add, { re: 0, im: 0 });
}

function scaled(value: Complex, by: number): Complex {
  return { re: value.re * by, im: value.im * by };
}
