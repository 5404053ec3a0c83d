import type { Path, Raw } from '../../text/text.js';
import type { Impedance } from '../branch.js';
import { defaultOhms, leastOhms, loadDefaults, mostOhms, nominalVolts, plausible } from '../defaults.js';
import type { Draft } from '../draft.js';
import type { Fault } from '../fault.js';
import type { Volts } from '../units.js';

const ohmRange = { least: leastOhms, most: mostOhms };

/** A part with a job to do when it has its voltage. One without a job (a tap winding) only carries current. */
export function addLoad(draft: Draft, name: string, raw: Raw.Load, path: Path): void {
  const [from, to] = draft.pair(name, raw.between, [...path, 'between']);
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
  const impedance = { ...loadImpedance(draft, name, raw, rated, path), tolerance };
  const branch = draft.addBranch({ name, part: name, role: 'load', from, to, impedance });
  const faults: Fault[] = [
    { part: name, mode: 'open', changes: [{ kind: 'absent', branch }] },
    { part: name, mode: 'shorted', changes: [{ kind: 'conducts', branch, ohms: defaultOhms.shorted }] },
  ];
  const job = raw.job ?? defaults.job;
  if (job !== undefined) {
    const ratedVolts = rated ?? lowestNominal(draft);
    const atLeast = worksFrom(draft, raw, path, ratedVolts) ?? defaults.worksFrom * ratedVolts;
    draft.loads.set(name, {
      name,
      part: name,
      job,
      does: { kind: 'volts', branch, atLeast, rated: ratedVolts },
    });
    faults.push({ part: name, mode: 'dead', changes: [{ kind: 'idle', load: name }] });
  }
  draft.parts.set(name, {
    name,
    kind: 'load',
    ...(raw.title === undefined ? {} : { title: raw.title }),
    noun: raw.title ?? (raw.kind === 'other' ? 'load' : raw.kind.replace('-', ' ')),
    branches: [branch],
    faults,
    path,
  });
}

/** `80 %` of rated voltage, or volts. */
function worksFrom(draft: Draft, raw: Raw.Load, path: Path, rated: Volts): Volts | undefined {
  const stated = raw.works?.['at-least'];
  const where = [...path, 'works', 'at-least'];
  if (typeof stated === 'string' && stated.includes('%')) {
    const share = draft.quantity(stated, 'ratio', where, { least: 0, most: 1.5, exclusiveLeast: true });
    return share === undefined ? undefined : share * rated;
  }
  return draft.quantity(stated, 'voltage', where, plausible.voltage);
}

/** Where nothing is rated: the lowest voltage any supply gives. */
function lowestNominal(draft: Draft): Volts {
  const all = [...draft.supplies.values()].flatMap((supply) => nominalVolts(supply.system, supply.volts));
  return all.length === 0 ? 0 : Math.min(...all);
}

type Parts = Omit<Impedance, 'tolerance'>;

/**
 * From resistance, impedance, or the rating plate. Z = V/I at power factor cos(phi): R = Z cos, X = Z sin.
 * Watts and amps together give R = P/I^2 and X from Z = V/I; watts alone are taken as resistive, R = V^2/P.
 */
function loadImpedance(
  draft: Draft,
  name: string,
  raw: Raw.Load,
  rated: Volts | undefined,
  path: Path,
): Parts {
  const forms = (['impedance', 'resistance', 'rated'] as const).filter((key) => raw[key] !== undefined);
  const unknown: Parts = { ohms: 1, reactanceOhms: 0 };
  if (raw.impedance !== undefined && raw.resistance !== undefined) {
    draft.report(
      'key-conflict',
      { part: name, keys: ['impedance', 'resistance'] },
      [...path, 'resistance'],
      'key',
    );
    return unknown;
  }
  if (raw.impedance !== undefined) {
    const where = [...path, 'impedance'];
    const ohms = draft.quantity(raw.impedance.resistance, 'resistance', [...where, 'resistance'], ohmRange);
    const reactance = draft.quantity(raw.impedance.reactance, 'resistance', [...where, 'reactance'], {
      least: 0,
      most: mostOhms,
    });
    return { ohms: ohms ?? 1, reactanceOhms: reactance ?? 0 };
  }
  if (raw.resistance !== undefined) {
    const ohms = draft.quantity(raw.resistance, 'resistance', [...path, 'resistance'], ohmRange);
    return { ohms: ohms ?? 1, reactanceOhms: 0 };
  }
  const power = draft.quantity(raw.rated?.power, 'power', [...path, 'rated', 'power'], plausible.power);
  const amps = draft.quantity(
    raw.rated?.current,
    'current',
    [...path, 'rated', 'current'],
    plausible.current,
  );
  const factor = raw.rated?.['power-factor'];
  if (forms.length === 0 || (raw.rated?.power === undefined && raw.rated?.current === undefined)) {
    draft.report(
      'key-needed',
      { part: name, keys: ['resistance', 'impedance', 'rated with power or current'] },
      path,
      'key',
    );
    return unknown;
  }
  if (raw.rated?.voltage === undefined) {
    draft.report('key-needed', { part: name, keys: ['voltage'] }, [...path, 'rated'], 'key');
    return unknown;
  }
  if (rated === undefined) return unknown;
  return fromPlate(rated, power, amps, factor);
}

function fromPlate(
  volts: number,
  watts: number | undefined,
  amps: number | undefined,
  factor: number | undefined,
): Parts {
  if (amps === undefined) {
    if (watts === undefined) return { ohms: 1, reactanceOhms: 0 };
    const cosine = factor ?? 1;
    const size = (volts * volts * cosine) / watts;
    return { ohms: size * cosine, reactanceOhms: size * Math.sqrt(1 - cosine * cosine) };
  }
  const size = volts / amps;
  const cosine = Math.min(1, watts === undefined ? (factor ?? 1) : watts / (volts * amps));
  return { ohms: size * cosine, reactanceOhms: size * Math.sqrt(1 - cosine * cosine) };
}
