import { stringify } from 'yaml';
import type { Raw } from '../../src/text/text.js';
import type { PublishedSource } from './front-doors.js';
import { type Leg, nodeName, nodesText, type PublishedSupply, suppliesText } from './supplies-text.js';

export interface DiagnosisCase {
  readonly id: string;
  readonly title: string;
  readonly source: PublishedSource;
  readonly supply: string;
  readonly ground: string;
  readonly elements: readonly DiagnosisElement[];
  readonly states: readonly {
    readonly name: string;
    readonly switches: Readonly<Record<string, 'open' | 'closed'>>;
  }[];
  readonly readings: readonly Observation[];
  readonly expected: {
    readonly bounding: string;
    readonly faults: Readonly<Record<string, 'possible' | 'impossible'>>;
  };
  /** A reading hangs on the meter pulling a place nothing ties down to a definite level. */
  readonly floating_node?: boolean;
}

interface DiagnosisElement {
  readonly id: string;
  readonly kind:
    | 'source'
    | 'switch'
    | 'contact'
    | 'fuse'
    | 'wire'
    | 'resistor'
    | 'lamp'
    | 'heater'
    | 'load'
    | 'winding'
    | 'coil';
  readonly nodes: readonly [string, string];
  readonly volts?: number;
  readonly phase_deg?: number;
  readonly internal_ohms?: number;
  readonly normal?: 'open' | 'closed';
  readonly form?: 'NO' | 'NC';
  readonly relay?: string;
  readonly ohms?: number;
  readonly rated_volts?: number;
  readonly rating_amps?: number;
}

export type Observation = {
  readonly state: string;
  /** Whether it departs from the healthy circuit. */
  readonly differs: boolean;
} & (
  | {
      readonly what: 'voltage';
      readonly nodes: readonly [string, string];
      readonly measured: number;
      readonly healthy: number;
      /** How far from what is published a reading may be, in volts, where the case says so. */
      readonly tol_abs?: number;
    }
  | {
      readonly what: 'current';
      readonly element: string;
      readonly measured: number | 'high';
      readonly healthy: number;
    }
  | {
      readonly what: 'operates';
      readonly element: string;
      readonly observed: boolean;
      readonly healthy: boolean;
    }
  | {
      readonly what: 'energised';
      readonly relay: string;
      readonly observed: boolean;
      readonly healthy: boolean;
    }
  | {
      readonly what: 'blown';
      readonly element: string;
      readonly observed: boolean;
      readonly healthy: boolean;
    }
);

/** Resistance of a source and of a wire by the published conventions. */
const wireOhms = 0.001;

/** A closed switch, contact or fuse has none there, and as good as none here. */
const closedOhms = 1e-6;

export interface DiagnosisTexts {
  readonly circuit: string;
  readonly readings: string;
  readonly legs: ReadonlyMap<string, Leg>;
}

/** A published case as a circuit file and a readings file. */
export function diagnosisTexts(each: DiagnosisCase): DiagnosisTexts {
  const { elements, states, title } = each;
  // Those that may be either ("AC or DC") are resistive.
  const hertz = each.supply === 'DC' ? 0 : 60;
  const { supplies, legs } = suppliesText(ofKinds(elements, 'source').map(supplyOf), each.ground, hertz);
  const circuit = {
    loadside: 'circuit/1',
    title,
    supplies,
    switches: byId(ofKinds(elements, 'switch'), switchOf),
    protectors: byId(ofKinds(elements, 'fuse'), fuseOf),
    loads: byId(
      ofKinds(elements, 'resistor', 'lamp', 'heater', 'load', 'winding', 'coil').filter(
        (element) => contactsOf(elements, element).length === 0,
      ),
      loadOf,
    ),
    relays: byId(
      elements.filter((element) => contactsOf(elements, element).length > 0),
      (coil) => relayOf(coil, contactsOf(elements, coil)),
    ),
    wires: ofKinds(elements, 'wire').map(wireOf),
    nodes: withChassis(nodesText(elements)),
    // In the order they are listed, as a person goes through them: a relay may hold itself in from one to the next.
    states: Object.fromEntries(
      states.map(({ name, switches }, index) => {
        const before = states[index - 1];
        return [name, { ...switches, ...(before === undefined ? {} : { after: [before.name] }) }];
      }),
    ),
  };
  return { circuit: stringify(circuit), readings: stringify(readingsOf(each)), legs };
}

/** What a case calls its case is the metal that a bridge to it makes live. */
function withChassis(nodes: Readonly<Record<string, object>>): Readonly<Record<string, object>> {
  const metal = nodeName('case');
  return metal in nodes ? { ...nodes, [metal]: { ...nodes[metal], chassis: true } } : nodes;
}

function ofKinds(
  elements: readonly DiagnosisElement[],
  ...kinds: readonly DiagnosisElement['kind'][]
): DiagnosisElement[] {
  return elements.filter(({ kind }) => kinds.includes(kind));
}

function byId<Part>(
  elements: readonly DiagnosisElement[],
  make: (element: DiagnosisElement) => Part,
): Record<string, Part> {
  return Object.fromEntries(elements.map((element) => [element.id, make(element)]));
}

function supplyOf({ id, nodes, volts, phase_deg = 0, internal_ohms }: DiagnosisElement): PublishedSupply {
  return { id, nodes, volts: volts!, phaseDegrees: phase_deg, ohms: internal_ohms ?? wireOhms };
}

function contactsOf(elements: readonly DiagnosisElement[], { kind, relay }: DiagnosisElement): DiagnosisElement[] {
  return kind === 'coil' ? ofKinds(elements, 'contact').filter((contact) => contact.relay === relay) : [];
}

/** A coil pulls in from 60 % of its voltage, by the published conventions, and lets go below half of that. */
function relayOf({ nodes, ohms, rated_volts }: DiagnosisElement, contacts: readonly DiagnosisElement[]): Raw.Relay {
  return {
    coil: {
      between: pair(nodes),
      resistance: `${ohms} ohm`,
      'picks-up-at': `${0.6 * rated_volts!} V`,
      'drops-out-below': `${0.3 * rated_volts!} V`,
    },
    contacts: byId(contacts, (contact) => ({
      between: pair(contact.nodes),
      normally: contact.form === 'NO' ? 'open' : 'closed',
      resistance: `${closedOhms} ohm`,
    })),
  };
}

function switchOf({ nodes, normal }: DiagnosisElement): Raw.Switch {
  return {
    positions: ['open', 'closed'],
    rest: normal ?? 'closed',
    between: pair(nodes),
    'closed-in': ['closed'],
    resistance: `${closedOhms} ohm`,
  };
}

function fuseOf({ nodes, rating_amps }: DiagnosisElement): Raw.Protector {
  return { kind: 'fuse', between: pair(nodes), rating: `${rating_amps} A`, resistance: `${closedOhms} ohm` };
}

function wireOf({ id, nodes: [from, to] }: DiagnosisElement): Raw.Wire {
  return { id, from: nodeName(from), to: nodeName(to), resistance: `${wireOhms} ohm` };
}

/** A plain resistance; one with a rating has a job, done from half of it on (a coil: from 60 %). */
function loadOf({ kind, nodes, ohms, rated_volts }: DiagnosisElement): Raw.Load {
  const kinds = { lamp: 'lamp', heater: 'heating-element' } as const;
  const load = {
    kind: kind === 'lamp' || kind === 'heater' ? kinds[kind] : 'other',
    between: pair(nodes),
    resistance: `${ohms} ohm`,
    tolerance: '0 %',
  } as const;
  if (rated_volts === undefined) return load;
  const works = { 'at-least': kind === 'coil' ? '60 %' : '50 %' };
  return {
    ...load,
    rated: { voltage: `${rated_volts} V` },
    works,
    job: kind === 'coil' ? 'pulls in' : 'works',
  };
}

function pair([a, b]: readonly [string, string]): [string, string] {
  return [nodeName(a), nodeName(b)];
}

function readingsOf({ id, elements, readings, floating_node }: DiagnosisCase): Raw.RawReadings {
  const largest = Math.max(...elements.map(({ volts = 0 }) => volts));
  return {
    loadside: 'readings/1',
    meter: {
      input: floating_node === true ? 'low-impedance' : 'high-impedance',
      accuracy: { percent: 2, counts: 1, resolution: resolutionOf(readings, largest) },
    },
    symptoms: readings.flatMap((each) => symptomOf(each) ?? []),
    readings: readings.flatMap((each) => readingOf(id, each) ?? []),
  };
}

/**
 * Last digit of the one meter a file has: what the case allows, where it says so; else 1 % of the largest source, or
 * 0.1 mA where amps are read too.
 */
function resolutionOf(readings: readonly Observation[], largest: number): number {
  const allowed = readings.flatMap((each) => (each.what === 'voltage' ? (each.tol_abs ?? []) : []));
  if (allowed.length > 0) return Math.max(...allowed);
  return readings.some(({ what }) => what === 'current') ? 1e-4 : largest / 100;
}

/** "Above 5 A" is published; 9 V across the source's own 0.5 ohm is the value that can be, computed. */
const highAmps: Readonly<Record<string, number>> = { D08: 9 / 0.5 };

function symptomOf(each: Observation): Raw.Symptom | undefined {
  if (each.what === 'blown') return each.observed ? { in: each.state, opens: each.element } : undefined;
  if (each.what !== 'operates' && each.what !== 'energised') return undefined;
  const load = each.what === 'operates' ? each.element : each.relay;
  return { in: each.state, load, works: each.observed ? 'yes' : 'no' };
}

/** Our dc readings have a sign, the published ones are magnitudes: here the first place is the lower one. */
const reversedLeads: readonly string[] = ['D34 6-12'];

function readingOf(id: string, each: Observation): Raw.Reading | undefined {
  if (each.what === 'current') {
    const amps = each.measured === 'high' ? highAmps[id] : each.measured;
    return { in: each.state, on: each.element, reads: `${amps} A` };
  }
  if (each.what !== 'voltage') return undefined;
  const [first, second] = each.nodes;
  const [red, black] = reversedLeads.includes(`${id} ${first}-${second}`) ? [second, first] : each.nodes;
  return { in: each.state, red: nodeName(red), black: nodeName(black), reads: `${each.measured} V` };
}

/** A published fault as the command line writes ours; undefined for one no part of ours can have. */
export function faultText(
  { elements }: DiagnosisCase,
  legs: ReadonlyMap<string, Leg>,
  published: string,
): string | undefined {
  const [mode, id] = published.split(':') as [string, string];
  if (mode === 'bridge') return leakText(elements, id.split('~')[0]!);
  const leg = legs.get(id);
  // A source that gives nothing is a live leg that is missing, whether it still conducts or not.
  if (leg !== undefined) return `${leg.supply}.${leg.leg}:missing`;
  const { kind, relay } = elements.find((element) => element.id === id)!;
  const coil = kind === 'contact' ? elements.find((each) => each.kind === 'coil' && each.relay === relay) : undefined;
  const part = coil === undefined ? id : `${coil.id}.${id}`;
  if (mode === 'open') return `${part}:open`;
  return kind === 'fuse' ? undefined : `${part}:shorted`;
}

/** A bridge from a place to metal or ground is the leak of a wire that ends there, else of a load. */
function leakText(elements: readonly DiagnosisElement[], node: string): string | undefined {
  const wire = ofKinds(elements, 'wire').find(({ nodes }) => nodes[1] === node);
  if (wire !== undefined) return `${wire.id}:leaks-to-earth`;
  const load = ofKinds(elements, 'lamp', 'heater', 'load').find(({ nodes }) => nodes.includes(node));
  return load && `${load.id}.${nodeName(node)}:leaks-to-earth`;
}
