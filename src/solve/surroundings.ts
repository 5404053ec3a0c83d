import { isConductor } from '../circuit/circuit.js';
import type { Complex } from './complex.js';
import { isPresent, type View } from './view.js';

/** A break that parts a floating place from the rest. */
export interface CutOff {
  /** The place that floats. */
  readonly node: string;
  /** `B1`, `SEL.bake-line`, `W7`. */
  readonly branch: string;
  readonly part: string;
  readonly why:
    | 'open contact'
    | 'open protector'
    | 'broken'
    | 'transformer'
    | 'lifted'
    | 'unplugged'
    | 'removed'
    | 'no power';
}

/**
 * The breaks that leave a node floating, in file order; the transformer whose winding holds it, apart from the rest;
 * empty for a node that is tied down.
 */
export function cutOff(view: View, node: number): CutOff[] {
  const island = view.island(node);
  const { circuit } = view.point.plan;
  const name = circuit.nodes[node]?.name ?? '';
  if (view.isDriven(island)) return isolating(view, name, island);
  const found: CutOff[] = [];
  for (const branch of circuit.branches) {
    if (isPresent(view, branch.index) || !(isConductor(branch.role) || branch.role === 'source')) continue;
    const [from, to] = view.ends(branch.index);
    const inside = view.island(from) === island;
    if (inside === (view.island(to) === island)) continue;
    found.push({ node: name, branch: branch.name, part: branch.part, why: whyOpen(view, branch.index) });
  }
  return found;
}

/** The transformer that alone drives an island: nothing is known between it and the rest. */
function isolating(view: View, node: string, island: number): CutOff[] {
  const { branches } = view.point.plan.circuit;
  const inside = branches.filter(
    (branch) => isPresent(view, branch.index) && view.island(view.ends(branch.index)[1]) === island,
  );
  if (inside.some((branch) => branch.role === 'source')) return [];
  const names = new Set(inside.flatMap((branch) => (branch.winding === undefined ? [] : branch.part)));
  return [...names].map((part) => ({ node, branch: part, part, why: 'transformer' }));
}

function whyOpen(view: View, index: number): CutOff['why'] {
  const branch = view.point.plan.circuit.branches[index]!;
  const { state, overlay } = view.point;
  if (branch.role === 'source' && !state.power) return 'no power';
  if (state.removed.has(branch.part)) return 'removed';
  if (branch.role === 'protector') return 'open protector';
  if (overlay.branches.get(index) === 'absent') return 'broken';
  if (branch.role === 'pin') return 'unplugged';
  if (branch.role === 'wire') return 'lifted';
  return 'open contact';
}

/** What may stray onto a floating lead. */
export interface Stray {
  /** The highest live AC voltage against the other lead, or against the common reference when both float, and its frequency. */
  readonly volts: number;
  readonly hertz: number;
  /** Of the wires that float, one of no stated length counting for `unstatedMetres`. */
  readonly metres: number;
}

/** Capacitance passes no dc, so that only ac strays. */
export function strayOn(view: View, red: number, black: number, unstatedMetres: number): Stray {
  const reference = [black, red].find((node) => view.isDriven(view.island(node)));
  const floats = new Set([red, black].map((node) => view.island(node)));
  if (reference !== undefined) floats.delete(view.island(reference));
  let metres = 0;
  for (const { index, role, metres: stated } of view.point.plan.circuit.branches) {
    if (role === 'wire' && floats.has(view.island(view.ends(index)[0]))) metres += stated ?? unstatedMetres;
  }
  return { ...highestLive(view, reference), metres };
}

function highestLive(view: View, reference: number | undefined): Pick<Stray, 'volts' | 'hertz'> {
  let highest = { volts: 0, hertz: 0 };
  for (const [frequency, phasor] of view.point.phasors.entries()) {
    if (phasor.hertz === 0) continue;
    for (const { index } of view.point.plan.circuit.nodes) {
      const island = view.island(index);
      if (!view.isDriven(island) || (reference !== undefined && island !== view.island(reference))) continue;
      const volts = view.volts(frequency, index, reference ?? -1);
      const size = Math.hypot(volts.re, volts.im);
      if (size > highest.volts) highest = { volts: size, hertz: phasor.hertz };
    }
  }
  return highest;
}

/**
 * Whether what a meter finds between two nodes is dc or ac, unless it is told: what drives their island, supplies and
 * transformers alike, and the larger of the two where both do (a capacitor joins a dc rail to the mains, a wire on the
 * wrong terminal to a winding). AC where nothing drives it but a transformer.
 */
export function isDcBetween(view: View, a: number, b: number): boolean {
  const { circuit, frequencies } = view.point.plan;
  const dc = frequencies.indexOf(0);
  const size = ({ re, im }: Complex) => Math.hypot(re, im);
  const drives = (frequency: number) =>
    circuit.branches.some(
      ({ emf, index, role }) =>
        (role === 'winding'
          ? isPresent(view, index) && size(view.emf(frequency, index)) > 0
          : emf !== undefined && emf.volts !== 0 && emf.hertz === frequencies[frequency]) &&
        view.joined(frequency, a, view.ends(index)[1]),
    );
  if (dc === -1 || !drives(dc)) return frequencies.every((hertz) => hertz === 0);
  const others = [...frequencies.keys()].filter((frequency) => frequency !== dc && drives(frequency));
  const volts = (frequency: number) => size(view.volts(frequency, a, b));
  return others.every((frequency) => !view.joined(frequency, a, b) || volts(frequency) < volts(dc));
}
