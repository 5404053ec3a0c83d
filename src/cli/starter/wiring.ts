import type { Answers, Wanted } from './answers.js';
import {
  type Leg,
  type LoadName,
  loadKinds,
  type ProtectorName,
  type SupplyKind,
  type SwitchName,
  supplyKinds,
  usualAmps,
} from './kinds.js';

/** A part in the way of the current, with the two nodes of each line it sits in. */
export interface Series<Kind extends string> extends Wanted<Kind> {
  readonly poles: readonly Pole[];
}

export interface Pole {
  readonly line: Leg;
  readonly between: readonly [string, string];
  /** Of a selector: the load whose position closes it. */
  readonly load?: string;
}

export interface WiredLoad extends Wanted<LoadName> {
  readonly between: readonly [string, string];
  readonly volts: number;
  readonly watts: number;
  readonly powerFactor: number | undefined;
  readonly job: string;
  /** What the current goes through, from line to neutral or to the other line. */
  readonly way: readonly string[];
}

export interface Wire {
  readonly from: string;
  readonly to: string;
  readonly colour: string;
}

/** A whole appliance: the parts in series feed every load, a selector each of them in a position of its own. */
export interface Wired {
  readonly supply: SupplyKind;
  readonly protectors: readonly (Series<ProtectorName> & { readonly amps: number })[];
  readonly switches: readonly Series<SwitchName>[];
  readonly loads: readonly WiredLoad[];
  readonly wires: readonly Wire[];
}

/** Lays out the wires of an appliance that has these parts. */
export function wire({ supply: supplyName, loads, protectors, switches }: Answers): Wired {
  const supply: SupplyKind = supplyKinds[supplyName];
  const placed = loads.map((load, index) => placedLoad(load, index, supply));
  const lines = supply.lines.filter((line) => placed.some((load) => load.lines.includes(line)));
  const wires: Wire[] = [];
  /** Where each line has got to, and what it went through. */
  const ends = new Map(lines.map((line) => [line, { node: line.node, way: [line.node] }]));
  const goOn = (line: Leg, to: string) => {
    const end = ends.get(line);
    if (end !== undefined) wires.push({ from: end.node, to, colour: line.colour });
  };
  const pass = (line: Leg, part: string, [into, out]: readonly [string, string]) => {
    goOn(line, into);
    ends.set(line, { node: out, way: [...(ends.get(line)?.way ?? []), part] });
  };
  const series = [...protectors.flatMap((each) => byLine(each, lines))].map(({ name, kind, line }) => {
    const between = [`${name}.1`, `${name}.2`] as const;
    pass(line, name, between);
    return { name, kind, poles: [{ line, between }], amps: ratingFor(line, placed) };
  });
  // A selector comes last, for behind it each load has a wire of its own.
  const inOrder = [...switches].sort((a, b) => Number(a.kind === 'selector') - Number(b.kind === 'selector'));
  const selector = inOrder.find(({ kind }) => kind === 'selector');
  const wiredSwitches = inOrder.map((each): Series<SwitchName> => {
    if (each === selector) return { ...each, poles: selectorPoles(each.name, placed, lines, goOn) };
    const poles = lines.map((line, index): Pole => {
      const between = [`${each.name}.${2 * index + 1}`, `${each.name}.${2 * index + 2}`] as const;
      pass(line, each.name, between);
      return { line, between };
    });
    return { ...each, poles };
  });
  const poles = wiredSwitches.find(({ kind }) => kind === 'selector')?.poles ?? [];
  const wiredLoads = placed.map(({ lines: own, backs, ...load }): WiredLoad => {
    for (const [index, line] of own.entries()) {
      const pole = poles.find((each) => each.load === load.name && each.line === line);
      const to = load.between[index] ?? '';
      if (pole === undefined) goOn(line, to);
      else wires.push({ from: pole.between[1], to, colour: line.colour });
    }
    if (backs) wires.push({ from: load.between[1], to: supply.back.node, colour: supply.back.colour });
    const [there = [], home = [supply.back.node]] = own.map((line) => [
      ...(ends.get(line)?.way ?? []),
      ...(selector === undefined ? [] : [selector.name]),
    ]);
    return { ...load, way: [...there, load.name, ...[...home].reverse()] };
  });
  return { supply, protectors: series, switches: wiredSwitches, loads: wiredLoads, wires };
}

interface PlacedLoad extends Omit<WiredLoad, 'way'> {
  readonly lines: readonly Leg[];
  /** Its second wire goes to neutral. */
  readonly backs: boolean;
}

/** Heating elements of a split supply sit between its lines; other loads take the lines in turn, each to neutral. */
function placedLoad(
  { name, kind, watts }: Answers['loads'][number],
  index: number,
  supply: SupplyKind,
): PlacedLoad {
  const isAcross = supply.system === 'split-phase' && kind === 'heating-element';
  const turn = supply.system === 'three-phase' ? index % supply.lines.length : 0;
  const own = supply.lines[turn];
  const usual = loadKinds[kind];
  return {
    name,
    kind,
    between: [`${name}.1`, `${name}.2`],
    volts: isAcross ? 2 * supply.volts : supply.volts,
    watts: watts ?? (supply.system === 'dc' ? usual.lowWatts : usual.watts),
    powerFactor: supply.system === 'dc' ? undefined : usual.powerFactor,
    job: usual.job,
    lines: isAcross ? supply.lines : own === undefined ? [] : [own],
    backs: !isAcross,
  };
}

/** One part a line; with several lines they are numbered. */
function byLine(
  { name, kind }: Wanted<ProtectorName>,
  lines: readonly Leg[],
): (Wanted<ProtectorName> & { readonly line: Leg })[] {
  return lines.map((line, index) => ({
    name: lines.length === 1 ? name : `${name}${index + 1}`,
    kind,
    line,
  }));
}

/** A quarter more than all loads of a line take together, in the next usual size. */
function ratingFor(line: Leg, loads: readonly PlacedLoad[]): number {
  const amps = loads
    .filter(({ lines }) => lines.includes(line))
    .reduce((sum, { watts, volts, powerFactor = 1 }) => sum + watts / volts / powerFactor, 0);
  return usualAmps.find((each) => each >= 1.25 * amps) ?? Math.ceil(1.25 * amps);
}

function selectorPoles(
  name: string,
  loads: readonly PlacedLoad[],
  lines: readonly Leg[],
  goOn: (line: Leg, to: string) => void,
): Pole[] {
  const inward = (line: Leg) => `${name}.${lines.length === 1 ? 'L' : `L${lines.indexOf(line) + 1}`}`;
  for (const line of lines) goOn(line, inward(line));
  let out = 0;
  return loads.flatMap((load) =>
    load.lines.map((line): Pole => {
      out += 1;
      return { line, between: [inward(line), `${name}.${out}`], load: load.name };
    }),
  );
}
