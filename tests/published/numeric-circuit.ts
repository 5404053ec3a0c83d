import { stringify } from 'yaml';
import type { Raw } from '../../src/text/text.js';
import type { PublishedSource } from './front-doors.js';
import { type Leg, nodeName, nodesText, type PublishedSupply, suppliesText } from './supplies-text.js';

export interface NumericCase {
  readonly id: string;
  readonly title: string;
  readonly source: PublishedSource;
  /** Absent where a case is arithmetic only, as are its elements. */
  readonly supply?: string;
  readonly ground?: string;
  readonly elements?: readonly NumericElement[];
  readonly expected: readonly NumericFigure[];
  readonly tolerance_rel: number;
}

type NumericElement = { readonly id: string } & (
  | {
      readonly kind: 'voltage_source';
      readonly nodes: readonly [string, string];
      readonly volts: number;
      readonly phase_deg?: number;
      readonly series_ohms?: number;
    }
  | { readonly kind: 'resistor'; readonly nodes: readonly [string, string]; readonly ohms: number }
  | { readonly kind: 'inductor'; readonly nodes: readonly [string, string]; readonly henries: number }
  | { readonly kind: 'ammeter'; readonly nodes: readonly [string, string] }
  | { readonly kind: 'capacitor'; readonly nodes: readonly [string, string]; readonly farads: number }
  | {
      readonly kind: 'coupling';
      readonly nodes?: never;
      readonly inductors: readonly [string, string];
      readonly k: number;
    }
);

export interface NumericFigure {
  readonly quantity: string;
  readonly nodes?: readonly [string, string];
  readonly element?: string;
  /** How the source computes a figure that hangs on no circuit. */
  readonly how?: string;
  readonly value: number;
  readonly angle_deg?: number;
  /** The same by an independent solver, to six figures. */
  readonly computed: number;
  readonly computed_angle_deg?: number;
  readonly tol_abs?: number;
}

/** An ideal source, wire or coil has no resistance; a part of ours has at least this. */
const nothingOhms = 1e-6;

export interface NumericCircuit {
  readonly text: string;
  readonly hertz: number;
  /** Of each published source. */
  readonly legs: ReadonlyMap<string, Leg>;
}

/** A published case as a circuit file. Throws on an element no kind of ours stands for. */
export function numericCircuit({ supply, ground, elements, title }: NumericCase): NumericCircuit {
  const hertz = Number(/AC (\d+) Hz/.exec(supply!)?.[1] ?? 0);
  const sources: PublishedSupply[] = [];
  const loads: Record<string, Raw.Load> = {};
  const wires: Raw.Wire[] = [];
  const passives: Record<string, Raw.Passive> = {};
  const transformers: Record<string, Raw.Transformer> = {};
  const coupled = new Set(elements!.flatMap((each) => (each.kind === 'coupling' ? each.inductors : [])));
  for (const element of elements!) {
    if (coupled.has(element.id)) continue;
    if (element.kind === 'voltage_source') sources.push(supplyOf(element));
    else if (element.kind === 'ammeter') wires.push(wireOf(element));
    else if (element.kind === 'coupling') transformers[element.id] = transformerOf(element, elements!, hertz);
    else if (element.kind === 'capacitor') passives[element.id] = capacitorOf(element);
    else loads[element.id] = loadOf(element, hertz);
  }
  const { supplies, legs } = suppliesText(sources, ground!, hertz);
  const nodes = nodesText(elements!);
  const head = { loadside: 'circuit/1', title };
  return { text: stringify({ ...head, supplies, loads, passives, transformers, wires, nodes }), hertz, legs };
}

function supplyOf(element: Extract<NumericElement, { kind: 'voltage_source' }>): PublishedSupply {
  const { id, nodes, volts, phase_deg = 0, series_ohms = 2 * nothingOhms } = element;
  return { id, nodes, volts, phaseDegrees: phase_deg, ohms: series_ohms };
}

function wireOf({ id, nodes }: Extract<NumericElement, { kind: 'ammeter' }>): Raw.Wire {
  const [from, to] = nodes;
  return { id, from: nodeName(from), to: nodeName(to), resistance: `${nothingOhms} ohm` };
}

function loadOf(element: NumericElement, hertz: number): Raw.Load {
  const exact = { kind: 'other', tolerance: '0 %' } as const;
  switch (element.kind) {
    case 'resistor':
      return { ...exact, between: pair(element.nodes), resistance: `${element.ohms} ohm` };
    case 'inductor': {
      const reactance = `${2 * Math.PI * hertz * element.henries} ohm`;
      return {
        ...exact,
        between: pair(element.nodes),
        impedance: { resistance: `${nothingOhms} ohm`, reactance },
      };
    }
    default:
      throw new Error(`${element.id} is no load`);
  }
}

function capacitorOf({ nodes, farads }: Extract<NumericElement, { kind: 'capacitor' }>): Raw.Passive {
  return { kind: 'capacitor', between: pair(nodes), capacitance: `${farads} F`, tolerance: '0 %' };
}

/**
 * Two coils with a coupling of k are a transformer whose turns are as the roots of their inductances, with (1 - k) of
 * each as leakage and k of the first to magnetise the core.
 */
function transformerOf(
  { inductors, k }: Extract<NumericElement, { kind: 'coupling' }>,
  elements: readonly NumericElement[],
  hertz: number,
): Raw.Transformer {
  const coils = inductors.map((id) => {
    const coil = elements.find((each) => each.id === id);
    if (coil?.kind !== 'inductor') throw new Error(`${id} is no coil`);
    return coil;
  });
  const [first, second] = coils as [(typeof coils)[0], (typeof coils)[0]];
  const ohms = (henries: number) => 2 * Math.PI * hertz * henries;
  const turns = [100, 100 * Math.sqrt(second.henries / first.henries)];
  return {
    primary: pair(first.nodes),
    secondary: pair(second.nodes),
    voltages: turns.map((volts) => `${volts} V`),
    resistances: coils.map(() => `${nothingOhms} ohm`),
    leakages: coils.map(({ henries }) => `${(1 - k) * ohms(henries)} ohm`),
    magnetising: `${k * ohms(first.henries)} ohm`,
  };
}

function pair([a, b]: readonly [string, string]): [string, string] {
  return [nodeName(a), nodeName(b)];
}
