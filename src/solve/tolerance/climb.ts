import type { Ports } from './ports.js';
import { magnitudes, type Spread } from './spread.js';

/** What is asked of the network in a corner, from port 0: volts as a meter shows them, or the amps of a port's branch. */
export type Figure =
  | { readonly kind: 'volts'; readonly inputOhms: number }
  | { readonly kind: 'amps'; readonly port: number };

/** Passes over all parts before a climb is taken to have arrived; two or three are usual. */
const mostPasses = 8;

/**
 * Where climbs begin: at nominal parts; and where a part turned back on the way, as in a bridge that may have more than
 * one summit, from two corners far apart as well.
 */
const starts = [undefined, 'least', 'most'] as const;

/** Volts (or amps) that make no corner better than another. */
const tiny = 1e-9;

/** Both ends of a figure over every corner; `slack`: what parts that are no ports may add. */
export function endsOf(ports: Ports, figure: Figure, slack: number): Spread {
  const real = ports.isReal;
  const scale = new Scale(figure, real);
  const sign = real && scale.sum(ports) < 0 ? -1 : 1;
  const [high, low] = ([1, -1] as const).map((way) => {
    scale.begin(sign, way);
    let top = Number.NEGATIVE_INFINITY;
    for (const start of starts) {
      const climbed = ports.copy();
      if (start !== undefined)
        for (let port = 1; port < climbed.count; port += 1)
          climbed.set(port, climbed.parts[port - 1]![start]);
      const straight = climb(climbed, real, scale);
      top = Math.max(top, scale.worth(climbed));
      if (straight) break;
    }
    return way * top;
  }) as [number, number];
  const least = real ? low - slack : lowOutOfPhase(low - slack, high);
  return sign === 1 ? { low: least, high: high + slack } : { low: -(high + slack), high: -least };
}

/** The same without a sign. */
export function magnitudesOf(ports: Ports, figure: Figure, slack: number): Spread {
  return magnitudes(endsOf(ports, figure, slack));
}

/** Sets each part in turn where the worth is greatest, until none moves; false where one was set more than once. */
function climb(ports: Ports, real: boolean, scale: Scale): boolean {
  let straight = true;
  for (let pass = 0; pass < mostPasses; pass += 1) {
    let moved = false;
    for (let port = 1; port < ports.count; port += 1) {
      const { least, most } = ports.parts[port - 1]!;
      let best = scale.worth(ports) + tiny;
      let chosen: number | undefined;
      for (const multiple of real ? [least, most] : [least, (least + most) / 2, most]) {
        const found = scale.worthWith(ports, port, multiple);
        if (found <= best) continue;
        best = found;
        chosen = multiple;
      }
      if (chosen === undefined) continue;
      ports.set(port, chosen);
      moved = true;
    }
    if (!moved) return straight;
    if (pass > 0) straight = false;
  }
  return straight;
}

/** What a figure of the network is worth on the way up, or down: with all supplies as far off as they may be. */
class Scale {
  private readonly figure: Figure;
  private readonly real: boolean;
  private sign: 1 | -1 = 1;
  private way: 1 | -1 = 1;
  private sumRe = 0;
  private sumIm = 0;
  private drift = 0;

  constructor(figure: Figure, real: boolean) {
    this.figure = figure;
    this.real = real;
  }

  begin(sign: 1 | -1, way: 1 | -1): void {
    this.sign = sign;
    this.way = way;
  }

  /** Real part of the figure as it is. */
  sum(ports: Ports): number {
    this.look(ports, 0, 1);
    return this.sumRe;
  }

  worth(ports: Ports): number {
    return this.worthWith(ports, 0, 1);
  }

  /** With one part at this multiple, without setting it; port 0 for the network as it is. */
  worthWith(ports: Ports, port: number, multiple: number): number {
    this.look(ports, port, multiple);
    const { sumRe, sumIm } = this;
    const amount = this.real ? this.sign * sumRe : Math.sqrt(sumRe * sumRe + sumIm * sumIm);
    return this.way * amount + this.drift;
  }

  private look(ports: Ports, port: number, multiple: number): void {
    const { rowRe, rowIm, uRe, uIm, sources } = ports;
    let alongRe = 0;
    let alongIm = 0;
    let zRe = rowRe[0]!;
    let zIm = rowIm[0]!;
    if (port > 0) {
      ports.compensate(port, multiple);
      const { kRe, kIm } = ports;
      alongRe = rowRe[port]! * kRe - rowIm[port]! * kIm;
      alongIm = rowRe[port]! * kIm + rowIm[port]! * kRe;
      zRe -= alongRe * rowRe[port]! - alongIm * rowIm[port]!;
      zIm -= alongRe * rowIm[port]! + alongIm * rowRe[port]!;
    }
    const { figure } = this;
    let byRe: number;
    let byIm: number;
    if (figure.kind === 'volts') {
      const { inputOhms } = figure;
      const square = (inputOhms + zRe) ** 2 + zIm * zIm;
      byRe = (inputOhms * (inputOhms + zRe)) / square;
      byIm = (-inputOhms * zIm) / square;
    } else {
      const own = figure.port;
      byRe = own === port && port > 0 ? ports.parts[own - 1]!.y.re * multiple : ports.yRe[own]!;
      byIm = own === port && port > 0 ? ports.parts[own - 1]!.y.im * multiple : ports.yIm[own]!;
    }
    this.sumRe = 0;
    this.sumIm = 0;
    this.drift = 0;
    for (let source = 0; source < sources.length; source += 1) {
      const { emf, spread } = sources[source]!;
      const volts = uRe[source]!;
      const across = uIm[source]!;
      const uReal = volts[0]! + emf.re - (alongRe * volts[port]! - alongIm * across[port]!);
      const uImag = across[0]! + emf.im - (alongRe * across[port]! + alongIm * volts[port]!);
      const re = uReal * byRe - uImag * byIm;
      const im = uReal * byIm + uImag * byRe;
      this.sumRe += re;
      this.sumIm += im;
      this.drift += Math.sqrt(re * re + im * im) * spread;
    }
  }
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
