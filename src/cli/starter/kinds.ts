/** A kind of supply as the trade calls it. Colours: IEC 60445 at 50 Hz, usual practice in North America at 60 Hz (from memory). */
export interface SupplyKind {
  readonly system: 'single-phase' | 'split-phase' | 'three-phase' | 'dc';
  /** Each line to neutral; positive to negative. */
  readonly volts: number;
  readonly hertz?: number;
  readonly words: string;
  readonly lines: readonly Leg[];
  /** Where the current comes back. */
  readonly back: Leg;
  readonly earthColour?: string;
}

/** `key` is the terminal in a circuit file, `node` its node. */
export interface Leg {
  readonly key: string;
  readonly node: string;
  readonly colour: string;
}

const leg = (key: string, node: string, colour: string): Leg => ({ key, node: `MAINS.${node}`, colour });
const american = { back: leg('neutral', 'N', 'white'), earthColour: 'green', hertz: 60 } as const;
const european = { back: leg('neutral', 'N', 'blue'), earthColour: 'green-yellow', hertz: 50 } as const;

export type SupplyName = '120V' | '120/240V' | '120/208V' | '230V' | '230/400V' | '12V-dc';

export const supplyKinds: Readonly<Record<SupplyName, SupplyKind>> = {
  '120V': {
    ...american,
    system: 'single-phase',
    volts: 120,
    words: '120 V, one line and neutral',
    lines: [leg('line', 'L', 'black')],
  },
  '120/240V': {
    ...american,
    system: 'split-phase',
    volts: 120,
    words: '120/240 V, two lines and neutral: 120 V from each line to neutral, 240 V between them',
    lines: [leg('line1', 'L1', 'black'), leg('line2', 'L2', 'red')],
  },
  '120/208V': {
    ...american,
    system: 'three-phase',
    volts: 120,
    words: '120/208 V, three lines and neutral: 120 V from each line to neutral, 208 V between them',
    lines: [leg('line1', 'L1', 'black'), leg('line2', 'L2', 'red'), leg('line3', 'L3', 'blue')],
  },
  '230V': {
    ...european,
    system: 'single-phase',
    volts: 230,
    words: '230 V, one line and neutral',
    lines: [leg('line', 'L', 'brown')],
  },
  '230/400V': {
    ...european,
    system: 'three-phase',
    volts: 230,
    words: '230/400 V, three lines and neutral: 230 V from each line to neutral, 400 V between them',
    lines: [leg('line1', 'L1', 'brown'), leg('line2', 'L2', 'black'), leg('line3', 'L3', 'grey')],
  },
  '12V-dc': {
    system: 'dc',
    volts: 12,
    words: '12 V direct current, positive and negative',
    lines: [leg('positive', 'P', 'red')],
    back: leg('negative', 'M', 'black'),
  },
};

/** A kind of load; watts on mains and on 12 V are such as one meets (common practice, no source). */
interface LoadKind {
  readonly name: string;
  readonly watts: number;
  readonly lowWatts: number;
  /** Of a winding on ac. */
  readonly powerFactor?: number;
  readonly job: string;
  /** What can hurt where it is, in the words of a circuit file. */
  readonly hazard?: 'hot-surfaces' | 'moving-parts';
}

export type LoadName = 'heating-element' | 'lamp' | 'motor' | 'solenoid' | 'igniter' | 'other';

export const loadKinds: Readonly<Record<LoadName, LoadKind>> = {
  'heating-element': {
    name: 'HEAT',
    watts: 1500,
    lowWatts: 60,
    job: 'element gets hot',
    hazard: 'hot-surfaces',
  },
  lamp: { name: 'LAMP', watts: 40, lowWatts: 10, job: 'lamp lights' },
  motor: {
    name: 'MOTOR',
    watts: 150,
    lowWatts: 30,
    powerFactor: 0.65,
    job: 'motor turns',
    hazard: 'moving-parts',
  },
  solenoid: { name: 'VALVE', watts: 12, lowWatts: 8, powerFactor: 0.5, job: 'valve opens' },
  igniter: { name: 'GLOW', watts: 300, lowWatts: 40, job: 'igniter glows', hazard: 'hot-surfaces' },
  other: { name: 'LOAD', watts: 100, lowWatts: 20, job: 'does its work' },
};

/** A switch: moved by a hand, with its positions, or by what it follows. */
export type SwitchKind = { readonly name: string; readonly title: string } & (
  | { readonly by: 'hand'; readonly rest: string; readonly closed: string }
  | { readonly by: 'selector' }
  | { readonly by: 'temperature'; readonly opensAbove: string; readonly closesBelow: string }
  | { readonly by: 'door' }
);

export type SwitchName = 'on-off' | 'push-button' | 'selector' | 'thermostat' | 'door-switch';

export const switchKinds: Readonly<Record<SwitchName, SwitchKind>> = {
  'on-off': { name: 'SW', title: 'on-off switch', by: 'hand', rest: 'off', closed: 'on' },
  'push-button': { name: 'PB', title: 'push-button', by: 'hand', rest: 'out', closed: 'in' },
  selector: { name: 'SEL', title: 'selector', by: 'selector' },
  thermostat: {
    name: 'TH',
    title: 'thermostat',
    by: 'temperature',
    opensAbove: '65 degC',
    closesBelow: '55 degC',
  },
  'door-switch': { name: 'DS', title: 'door switch', by: 'door' },
};

export type ProtectorName = 'fuse' | 'breaker' | 'thermal-fuse' | 'overload';

export const protectorKinds: Readonly<Record<ProtectorName, { readonly name: string }>> = {
  fuse: { name: 'F' },
  breaker: { name: 'CB' },
  'thermal-fuse': { name: 'TF' },
  overload: { name: 'OL' },
};

/** Amps that fuses and breakers come in (common practice, no source). */
export const usualAmps: readonly number[] = [1, 2, 3, 5, 7, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125];
