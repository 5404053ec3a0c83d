import type { Path, Raw } from '../../text/text.js';
import { groundNode } from '../branch.js';
import { defaultOhms, defaultSupplyTolerance, faultRange, leastOhms, plausible } from '../defaults.js';
import type { Draft } from '../draft.js';
import type { Fault, VariableFault } from '../fault.js';
import type { SupplyLeg, SupplySystem } from '../model.js';
import type { Ratio, Volts } from '../units.js';
import { wornContact } from './part-faults.js';

interface LegShape {
  readonly name: keyof Raw.Terminals;
  readonly needed: boolean;
  /** Share of the supply's voltage, and the phase angle, of the leg against the supply's own zero. */
  readonly share: number;
  readonly degrees: number;
}

const leg = (name: keyof Raw.Terminals, share: number, degrees = 0, needed = true): LegShape => ({
  name,
  share,
  degrees,
  needed,
});
const earth = leg('earth', 0, 0, false);

/** Terminals of each system. Split-phase legs are opposite; three-phase runs 0, -120, +120 degrees (positive sequence). */
const legsOf: Readonly<Record<SupplySystem, readonly LegShape[]>> = {
  'single-phase': [leg('line', 1), leg('neutral', 0), earth],
  'split-phase': [leg('line1', 1), leg('line2', 1, 180), leg('neutral', 0, 0, false), earth],
  'three-phase': [
    leg('line1', 1),
    leg('line2', 1, -120),
    leg('line3', 1, 120),
    leg('neutral', 0, 0, false),
    earth,
  ],
  dc: [leg('positive', 1), leg('negative', 0), earth],
};

/** A delta is the star nothing outside can tell from it: line voltage over the root of three, and no neutral. */
const deltaLegs = legsOf['three-phase']
  .filter(({ name }) => name !== 'neutral')
  .map((each) => ({ ...each, share: each.share / Math.sqrt(3) }));

/**
 * A supply is a star: one source per leg from the supply's own zero to the terminal, through that leg's
 * impedance. The zero of an earthed supply is the common reference; another has a hidden node of its own, so
 * that nothing is known between it and the rest.
 */
export function addSupply(draft: Draft, name: string, raw: Raw.Supply, path: Path): void {
  const system: SupplySystem = raw.system;
  const volts = draft.quantity(raw.voltage, 'voltage', [...path, 'voltage'], plausible.voltage);
  const hertz = system === 'dc' ? 0 : frequency(draft, raw, path);
  const tolerance =
    draft.quantity(raw.tolerance, 'ratio', [...path, 'tolerance'], { least: 0, most: 0.5 }) ??
    defaultSupplyTolerance;
  const ohms =
    draft.quantity(raw.impedance, 'resistance', [...path, 'impedance'], { least: leastOhms }) ??
    defaultOhms.supplyLeg;
  checkKeys(draft, name, raw, path);
  const unearthed = system === 'dc' || raw.connection === 'delta';
  const earthed = (raw.earthed ?? (unearthed ? 'none' : 'neutral')) !== 'none';
  const zero = earthed ? groundNode : draft.hiddenNode(`${name}.(zero)`);
  const legs: SupplyLeg[] = [];
  for (const shape of legShapes(draft, name, raw, path)) {
    const terminal = raw.terminals[shape.name];
    if (terminal === undefined) continue;
    const node = draft.node(terminal, [...path, 'terminals', shape.name], name);
    const branch = draft.addBranch({
      name: `${name}.${shape.name}`,
      part: name,
      role: 'source',
      from: zero,
      to: node,
      impedance: { ohms: legOhms(draft, raw, shape.name, path) ?? ohms, reactanceOhms: 0, tolerance: 0 },
      emf: {
        volts: (volts ?? 0) * shape.share,
        degrees: shape.degrees + (raw.phase ?? 0),
        hertz,
        supply: name,
      },
    });
    legs.push({ name: shape.name, node, branch, live: shape.share !== 0 });
  }
  const toZero = (volts ?? 0) * (raw.connection === 'delta' ? 1 / Math.sqrt(3) : 1);
  checkImpedances(draft, name, raw, legs, path);
  draft.supplies.set(name, { name, system, volts: toZero, stated: volts ?? 0, hertz, tolerance, legs });
  draft.parts.set(name, {
    name,
    kind: 'supply',
    ...(raw.title === undefined ? {} : { title: raw.title }),
    noun: 'supply',
    branches: legs.map((each) => each.branch),
    faults: legFaults(name, legs, zero),
    variableFaults: [
      lowVoltage(name, volts ?? 1, tolerance),
      ...legs.flatMap((leg) =>
        wornContact(name, leg.name, leg.branch, draft.branches[leg.branch]?.impedance.ohms ?? ohms),
      ),
    ],
    path,
  });
}

/** Keys that mean nothing to some kinds of supply. */
function checkKeys(draft: Draft, name: string, raw: Raw.Supply, path: Path): void {
  const clash = (key: string, beside: string) =>
    draft.report('key-conflict', { part: name, keys: [beside, key] }, [...path, key], 'key');
  if (raw.phase !== undefined && raw.system === 'dc') clash('phase', 'system: dc');
  if (raw.frequency !== undefined && raw.system === 'dc') clash('frequency', 'system: dc');
  if (raw.connection === 'delta' && raw.earthed === 'neutral') clash('earthed', 'connection: delta');
  if (raw.connection !== undefined && raw.system !== 'three-phase')
    clash('connection', `system: ${raw.system}`);
}

function checkImpedances(
  draft: Draft,
  supply: string,
  { system, impedances = {} }: Raw.Supply,
  legs: readonly SupplyLeg[],
  path: Path,
): void {
  const allowed = legs.map((each) => each.name);
  for (const terminal of Object.keys(impedances)) {
    if (allowed.includes(terminal)) continue;
    const where = [...path, 'impedances', terminal];
    draft.report('terminal-foreign', { supply, system, terminal, allowed }, where, 'key');
  }
}

function legOhms(
  draft: Draft,
  raw: Raw.Supply,
  terminal: keyof Raw.Terminals,
  path: Path,
): number | undefined {
  const where = [...path, 'impedances', terminal];
  return draft.quantity(raw.impedances?.[terminal], 'resistance', where, { least: leastOhms });
}

function frequency(draft: Draft, raw: Raw.Supply, path: Path): number {
  if (raw.frequency === undefined) {
    draft.report('key-needed', { part: String(path.at(-1)), keys: ['frequency'] }, path, 'key');
    return 60;
  }
  return draft.quantity(raw.frequency, 'frequency', [...path, 'frequency'], plausible.frequency) ?? 60;
}

function legShapes(draft: Draft, name: string, raw: Raw.Supply, path: Path): readonly LegShape[] {
  const delta = raw.connection === 'delta';
  const shapes = delta && raw.system === 'three-phase' ? deltaLegs : legsOf[raw.system];
  const allowed: readonly string[] = shapes.map((shape) => shape.name);
  let foreign = false;
  for (const terminal of Object.keys(raw.terminals)) {
    if (!allowed.includes(terminal)) {
      foreign = true;
      const where = [...path, 'terminals', terminal];
      draft.report('terminal-foreign', { supply: name, system: raw.system, terminal, allowed }, where, 'key');
    }
  }
  // A terminal of another system is most likely the one that is missing: one mistake, one problem.
  for (const shape of foreign ? [] : shapes) {
    if (shape.needed && raw.terminals[shape.name] === undefined) {
      const where = [...path, 'terminals'];
      draft.report(
        'terminal-needed',
        { supply: name, system: raw.system, terminal: shape.name },
        where,
        'key',
      );
    }
  }
  return shapes;
}

/**
 * Each leg may be missing at the outlet; so may all live legs together (a breaker upstream is open); line and neutral
 * may be exchanged.
 */
function legFaults(name: string, legs: readonly SupplyLeg[], zero: number): Fault[] {
  const faults: Fault[] = legs.map((each) => ({
    part: name,
    mode: 'missing',
    at: each.name,
    changes: [{ kind: 'absent', branch: each.branch }],
  }));
  const live = legs.filter((each) => each.live);
  if (live.length > 1) {
    faults.push({
      part: name,
      mode: 'missing',
      changes: live.map((each) => ({ kind: 'absent', branch: each.branch })),
    });
  }
  const neutral = legs.find((each) => each.name === 'neutral');
  const [line] = live;
  if (line !== undefined && neutral !== undefined && live.length === 1) {
    const moved = (from: SupplyLeg, to: SupplyLeg) =>
      ({ kind: 'moved', branch: from.branch, from: zero, to: to.node }) as const;
    faults.push({ part: name, mode: 'crossed', changes: [moved(line, neutral), moved(neutral, line)] });
  }
  return faults;
}

/** `MAINS:low-voltage=96 V`: what the outlet gives, in the terms of the file's voltage. */
function lowVoltage(name: string, nominal: Volts, tolerance: Ratio): VariableFault {
  return {
    part: name,
    mode: 'low-voltage',
    unit: 'V',
    sound: nominal,
    range: { least: nominal / faultRange.drift, most: nominal * (1 - tolerance) },
    changes: (volts) => [{ kind: 'scaled', supply: name, share: volts / nominal }],
  };
}
