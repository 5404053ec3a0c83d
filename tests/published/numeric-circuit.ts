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
  | { readonly kind: 'capacitor' | 'coupling'; readonly nodes?: readonly [string, string] }
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
  for (const element of elements!) {
    if (element.kind === 'voltage_source') sources.push(supplyOf(element));
    else if (element.kind === 'ammeter') wires.push(wireOf(element));
    else loads[element.id] = loadOf(element, hertz);
  }
  const { supplies, legs } = suppliesText(sources, ground!, hertz);
  const nodes = nodesText(elements!);
  return { text: stringify({ loadside: 'circuit/1', title, supplies, loads, wires, nodes }), hertz, legs };
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
      throw new Error(`no kind of ours stands for the ${element.kind} ${element.id}`);
  }
}

function pair([a, b]: readonly [string, string]): [string, string] {
  return [nodeName(a), nodeName(b)];
}
