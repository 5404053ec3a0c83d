import type { Raw } from '../../src/text/text.js';

/** A published voltage source: `nodes` are plus and minus, `ohms` all of its own resistance. */
export interface PublishedSupply {
  readonly id: string;
  readonly nodes: readonly [string, string];
  readonly volts: number;
  readonly phaseDegrees: number;
  readonly ohms: number;
}

/** The leg of a supply that stands for a published source. */
export interface Leg {
  readonly supply: string;
  readonly leg: string;
}

export interface SuppliesText {
  readonly supplies: Record<string, Raw.Supply>;
  /** By source id. */
  readonly legs: ReadonlyMap<string, Leg>;
}

/** Published node names may begin with a digit, ours may not. */
export function nodeName(published: string): string {
  return `n${published}`;
}

/** Every published place, so that one which a single part touches is known to be meant. */
export function nodesText(
  elements: readonly { readonly nodes?: readonly string[] | undefined }[],
): Record<string, object> {
  return Object.fromEntries(elements.flatMap(({ nodes = [] }) => nodes).map((name) => [nodeName(name), {}]));
}

/** The supply a group of sources makes up: a star, or two halves with a middle, has one name for all its legs. */
export const jointSupply = 'SUPPLY';

/** Published sources as supplies. */
export function suppliesText(
  sources: readonly PublishedSupply[],
  ground: string,
  hertz: number,
): SuppliesText {
  if (sources.every((source) => source.phaseDegrees === 0)) {
    const [first, second] = sources;
    const halves = hertz > 0 && sources.length === 2 && first!.nodes[1] === second!.nodes[0];
    return halves ? splitPhase(first!, second!, ground, hertz) : eachItsOwn(sources, ground, hertz);
  }
  const star = isRing(sources) ? starOfRing(sources) : sources;
  return isStar(star) ? threePhase(star, ground, hertz) : eachItsOwn(sources, ground, hertz);
}

function eachItsOwn(sources: readonly PublishedSupply[], ground: string, hertz: number): SuppliesText {
  const supplies: Record<string, Raw.Supply> = {};
  const legs = new Map<string, Leg>();
  for (const { id, nodes, volts, phaseDegrees, ohms } of sources) {
    // A source of negative volts is one that stands the other way round.
    const [plus, minus] = volts < 0 ? [nodes[1], nodes[0]] : nodes;
    const ac = hertz > 0;
    const terminals = ac
      ? { line: nodeName(plus), neutral: nodeName(minus) }
      : { positive: nodeName(plus), negative: nodeName(minus) };
    supplies[id] = {
      system: ac ? 'single-phase' : 'dc',
      ...common(Math.abs(volts), hertz, minus === ground),
      ...(phaseDegrees === 0 ? {} : { phase: phaseDegrees }),
      // Both legs have this impedance, in series.
      impedance: `${ohms / 2} ohm`,
      terminals,
    };
    legs.set(id, { supply: id, leg: ac ? 'line' : 'positive' });
  }
  return { supplies, legs };
}

/** Plus to the middle, the middle to minus: line 1, neutral, line 2. */
function splitPhase(
  first: PublishedSupply,
  second: PublishedSupply,
  ground: string,
  hertz: number,
): SuppliesText {
  const [line1, middle] = first.nodes;
  const supply: Raw.Supply = {
    system: 'split-phase',
    ...common(first.volts, hertz, middle === ground),
    impedance: `${first.ohms} ohm`,
    terminals: { line1: nodeName(line1), line2: nodeName(second.nodes[1]), neutral: nodeName(middle) },
  };
  const legs = new Map([
    [first.id, { supply: jointSupply, leg: 'line1' }],
    [second.id, { supply: jointSupply, leg: 'line2' }],
  ]);
  return { supplies: { [jointSupply]: supply }, legs };
}

/** Sources of 0, -120 and 120 degrees from one star point; a phase nobody published ends on a spare terminal. */
function threePhase(sources: readonly PublishedSupply[], ground: string, hertz: number): SuppliesText {
  const [first] = sources;
  const star = first!.nodes[1];
  const terminals: Record<'line1' | 'line2' | 'line3', string> = {
    line1: `${jointSupply}.1`,
    line2: `${jointSupply}.2`,
    line3: `${jointSupply}.3`,
  };
  const legs = new Map<string, Leg>();
  for (const { id, nodes, phaseDegrees } of sources) {
    const leg = legAt(phaseDegrees)!;
    terminals[leg] = nodeName(nodes[0]);
    legs.set(id, { supply: jointSupply, leg });
  }
  const supply: Raw.Supply = {
    system: 'three-phase',
    ...common(first!.volts, hertz, star === ground),
    impedance: `${first!.ohms} ohm`,
    terminals: { ...terminals, ...(star === nowhere ? {} : { neutral: nodeName(star) }) },
  };
  return { supplies: { [jointSupply]: supply }, legs };
}

/** Sources of one voltage from one point, each at the angle of another leg. */
function isStar(sources: readonly PublishedSupply[]): boolean {
  const [first] = sources;
  const legs = new Set(sources.map((source) => legAt(source.phaseDegrees)));
  const alike = sources.every(({ nodes, volts }) => nodes[1] === first!.nodes[1] && volts === first!.volts);
  return alike && legs.size === sources.length && !legs.has(undefined);
}

function legAt(degrees: number): 'line1' | 'line2' | 'line3' | undefined {
  switch (((degrees % 360) + 360) % 360) {
    case 0:
      return 'line1';
    case 240:
      return 'line2';
    case 120:
      return 'line3';
    default:
      return undefined;
  }
}

/** The star point of a delta, which has none. */
const nowhere = '';

function isRing(sources: readonly PublishedSupply[]): boolean {
  return sources.every(({ nodes }, index) => nodes[1] === sources[(index + 1) % sources.length]!.nodes[0]);
}

/**
 * A closed delta of three sources, as the star nothing outside can tell from it but for where its angles begin:
 * line voltages over the root of three, series resistance over three.
 */
function starOfRing(sources: readonly PublishedSupply[]): PublishedSupply[] {
  return sources.map((source) => ({
    ...source,
    nodes: [source.nodes[0], nowhere],
    volts: source.volts / Math.sqrt(3),
    ohms: Math.max(1e-6, source.ohms / 3),
  }));
}

function common(
  volts: number,
  hertz: number,
  zeroIsGround: boolean,
): Pick<Raw.Supply, 'voltage' | 'frequency' | 'tolerance' | 'earthed'> {
  return {
    voltage: `${volts} V`,
    ...(hertz > 0 ? { frequency: `${hertz} Hz` } : {}),
    tolerance: '0 %',
    earthed: zeroIsGround ? 'neutral' : 'none',
  };
}
