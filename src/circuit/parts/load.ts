import type { Path, Raw } from '../../text/text.js';
import type { Impedance, OhmRange } from '../branch.js';
import {
  loadDefaults,
  lockedPowerFactor,
  nominalFor,
  plausible,
  startWindingShare,
  windingShare,
} from '../defaults.js';
import type { Draft } from '../draft.js';
import type { Ratio, Volts } from '../units.js';
import { impedanceOf, type Reactive, statedImpedance, within } from './impedance.js';
import { driftedResistance, openOrShorted } from './part-faults.js';

/** A part with a job to do when it has its voltage. One without a job (a tap winding) only carries current. */
export function addLoad(draft: Draft, name: string, raw: Raw.Load, path: Path): void {
  const [from, to] = draft.pair(name, raw.between, [...path, 'between']);
  checkKeys(draft, name, raw, path);
  const defaults = loadDefaults[raw.kind];
  const tolerance =
    draft.quantity(raw.tolerance, 'ratio', [...path, 'tolerance'], { least: 0, most: 0.9 }) ??
    defaults.tolerance;
  const rated = draft.quantity(
    raw.rated?.voltage,
    'voltage',
    [...path, 'rated', 'voltage'],
    plausible.voltage,
  );
  const impedance = loadImpedance(draft, name, raw, rated, tolerance, path);
  const locked = raw.locked && lockedImpedance(draft, name, raw.locked, rated, impedance, path);
  const turns = raw.locked !== undefined || raw['start-winding'] !== undefined || draft.followed.has(name);
  const actuator = draft.followed.get(name)?.actuator ?? draft.nextActuator;
  const branch = draft.addBranch({
    name,
    part: name,
    role: 'load',
    from,
    to,
    impedance,
    ...(locked === undefined ? {} : { atRest: { actuator, impedance: locked } }),
  });
  const faults = openOrShorted(name, branch);
  const job = raw.job ?? defaults.job;
  if (job !== undefined) {
    const ratedVolts = rated ?? nominalFor(draft.supplies.values(), undefined);
    const atLeast = worksFrom(draft, raw, path, ratedVolts) ?? defaults.worksFrom * ratedVolts;
    if (turns) {
      draft.addActuator({ kind: 'load', name, part: name, branch, atLeast });
    }
    draft.loads.set(name, {
      name,
      part: name,
      job,
      does: {
        kind: 'volts',
        branch,
        atLeast,
        weakBelow: defaults.weakBelow,
        rated: ratedVolts,
        ...(turns ? { actuator } : {}),
      },
    });
    // Seized, a motor turns nothing that follows it either.
    const still = turns ? [{ kind: 'held', actuator, on: false } as const] : [];
    faults.push({ part: name, mode: 'dead', changes: [{ kind: 'idle', load: name }, ...still] });
  } else if (turns) draft.report('key-needed', { part: name, keys: ['job'] }, path, 'key');
  draft.parts.set(name, {
    name,
    kind: 'load',
    ...(raw.title === undefined ? {} : { title: raw.title }),
    noun: raw.title ?? (raw.kind === 'other' ? 'load' : raw.kind.replace('-', ' ')),
    form: raw.kind,
    branches: [branch],
    faults,
    variableFaults: driftedResistance(name, branch, impedance.ohms, impedance.tolerance),
    path,
  });
}

/** Keys that say one thing twice, or that only a motor has. */
function checkKeys(draft: Draft, part: string, raw: Raw.Load, path: Path): void {
  const clash = (keys: readonly string[], at: readonly string[]) =>
    draft.report('key-conflict', { part, keys }, [...path, ...at], 'key');
  const { power, current, 'power-factor': factor } = raw.rated ?? {};
  if (power !== undefined && current !== undefined && factor !== undefined)
    clash(['power with current', 'power-factor'], ['rated', 'power-factor']);
  if (raw.locked?.resistance !== undefined && raw.locked['power-factor'] !== undefined)
    clash(['resistance', 'power-factor'], ['locked', 'power-factor']);
  for (const key of ['locked', 'start-winding'] as const)
    if (raw[key] !== undefined && raw.kind !== 'motor') clash([`kind: ${raw.kind}`, key], [key]);
}

/** `80 %` of rated voltage, or volts. */
function worksFrom(draft: Draft, raw: Raw.Load, path: Path, rated: Volts): Volts | undefined {
  const stated = raw.works?.['at-least'];
  const where = [...path, 'works', 'at-least'];
  // A bare number is in the key's base unit, percent.
  if (typeof stated === 'number' || stated?.includes('%') === true) {
    const share = draft.quantity(stated, 'ratio', where, { least: 0, most: 1.5, exclusiveLeast: true });
    return share === undefined ? undefined : share * rated;
  }
  return draft.quantity(stated, 'voltage', where, plausible.voltage);
}

/** Motors and the windings that start them, once every load is there: either may be written first. */
export function linkStartWindings(draft: Draft, loads: Readonly<Record<string, Raw.Load>>): void {
  const windings = draft.branches.filter((branch) => branch.role === 'load');
  for (const [name, { 'start-winding': winding }] of Object.entries(loads)) {
    if (winding === undefined) continue;
    const found = windings.find((branch) => branch.name === winding && winding !== name);
    const does = draft.loads.get(name)?.does;
    if (winding === name) {
      const data = { key: 'start-winding', found: winding, expected: 'another load' };
      draft.report('state-value', data, ['loads', name, 'start-winding']);
    } else if (found === undefined) {
      const others = windings.map((branch) => branch.name).filter((each) => each !== name);
      draft.unknown('load', winding, others, ['loads', name, 'start-winding']);
    } else if (does?.kind === 'volts' && does.actuator !== undefined) {
      draft.startWith(does.actuator, { branch: found.index, atLeast: startWindingShare * does.rated });
    }
  }
}

/**
 * From resistance, impedance, or the rating plate. Watts and amps together give R = P/I^2 and X from Z = V/I; watts
 * alone are taken as resistive, R = V^2/P. A resistance beside one of the others is what an ohmmeter reads.
 */
function loadImpedance(
  draft: Draft,
  name: string,
  raw: Raw.Load,
  rated: Volts | undefined,
  tolerance: Ratio,
  path: Path,
): Impedance {
  const ohms = draft.quantity(raw.resistance, 'resistance', [...path, 'resistance'], plausible.resistance);
  const running = raw.impedance
    ? statedImpedance(draft, raw.impedance, [...path, 'impedance'])
    : plateImpedance(draft, name, raw, rated, path);
  if (running === undefined) return { ohms: ohms ?? 1, reactanceOhms: 0, tolerance };
  const dead = ohms === undefined ? unstatedWinding(raw, running) : within(ohms, tolerance);
  return { ...running, tolerance, ...(dead === undefined ? {} : { dead }) };
}

/** A plate tells nothing of the copper of a motor or a solenoid: only bounds are known. */
function unstatedWinding(raw: Raw.Load, { ohms }: Reactive): OhmRange | undefined {
  if (raw.impedance !== undefined || (raw.kind !== 'motor' && raw.kind !== 'solenoid')) return undefined;
  const { least, usual, most } = windingShare;
  return { ohms: usual * ohms, least: least * ohms, most: most * ohms };
}

/** Undefined where the file gives no plate. */
function plateImpedance(
  draft: Draft,
  name: string,
  raw: Raw.Load,
  rated: Volts | undefined,
  path: Path,
): Reactive | undefined {
  const where = [...path, 'rated'];
  const power = draft.quantity(raw.rated?.power, 'power', [...where, 'power'], plausible.power);
  const amps = draft.quantity(raw.rated?.current, 'current', [...where, 'current'], plausible.current);
  if (raw.rated?.power === undefined && raw.rated?.current === undefined) {
    if (raw.resistance !== undefined) return undefined;
    const keys = ['resistance', 'impedance', 'rated with power or current'];
    draft.report('key-needed', { part: name, keys }, path, 'key');
    return undefined;
  }
  if (raw.rated.voltage === undefined) {
    draft.report('key-needed', { part: name, keys: ['voltage'] }, where, 'key');
    return undefined;
  }
  return rated === undefined ? undefined : fromPlate(rated, power, amps, raw.rated['power-factor']);
}

function fromPlate(
  volts: Volts,
  watts: number | undefined,
  amps: number | undefined,
  factor: number | undefined,
): Reactive | undefined {
  if (amps === undefined) {
    if (watts === undefined) return undefined;
    const cosine = factor ?? 1;
    return impedanceOf(volts, watts / (volts * cosine), cosine);
  }
  const cosine = Math.min(1, watts === undefined ? (factor ?? 1) : watts / (volts * amps));
  return impedanceOf(volts, amps, cosine);
}

/** What a motor is while it stands still: mostly its windings, a fraction of what it is turning. */
function lockedImpedance(
  draft: Draft,
  name: string,
  raw: Raw.Locked,
  rated: Volts | undefined,
  running: Impedance,
  path: Path,
): Impedance | undefined {
  const where = [...path, 'locked'];
  const { tolerance, dead = within(running.ohms, tolerance) } = running;
  const amps = draft.quantity(raw.current, 'current', [...where, 'current'], plausible.current);
  const key = (['resistance', 'reactance'] as const).find(
    (each) => raw.current !== undefined && raw[each] !== undefined,
  );
  if (key !== undefined) {
    draft.report('key-conflict', { part: name, keys: ['current', key] }, [...where, key], 'key');
    return undefined;
  }
  if (raw.current === undefined) {
    if (raw.resistance !== undefined) return { ...statedImpedance(draft, raw, where), tolerance, dead };
    draft.report('key-needed', { part: name, keys: ['current', 'resistance'] }, where, 'key');
    return undefined;
  }
  if (rated === undefined) {
    draft.report('key-needed', { part: name, keys: ['rated with voltage'] }, path, 'key');
    return undefined;
  }
  if (amps === undefined) return undefined;
  return { ...impedanceOf(rated, amps, raw['power-factor'] ?? lockedPowerFactor), tolerance, dead };
}
