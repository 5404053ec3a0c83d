import type { Path, Raw } from '../../text/text.js';
import type { Impedance } from '../branch.js';
import { type Curve, curveOhms } from '../curve.js';
import { leastOhms, passiveTolerance, plausible } from '../defaults.js';
import type { Draft } from '../draft.js';
import type { VariableFault } from '../fault.js';
import type { Ohms } from '../units.js';
import { driftedResistance, driftedSensor, openOrShorted, wornContact } from './part-faults.js';
import { readCurve } from './read-curve.js';

/** Resistor, inductor, capacitor, or a sensor whose resistance goes with a temperature. */
export function addPassive(draft: Draft, name: string, raw: Raw.Passive, path: Path): void {
  const [from, to] = draft.pair(name, raw.between, [...path, 'between']);
  const sensor =
    raw.kind === 'thermistor' || raw.kind === 'rtd' ? readSensor(draft, name, raw, path) : undefined;
  const impedance = passiveImpedance(draft, name, raw, path);
  const branch = draft.addBranch({
    name,
    part: name,
    role: 'passive',
    from,
    to,
    impedance,
    ...(sensor === undefined ? {} : { sensor: { condition: sensor.condition, curve: sensor.curve } }),
  });
  draft.parts.set(name, {
    name,
    kind: 'passive',
    ...(raw.title === undefined ? {} : { title: raw.title }),
    noun: raw.title ?? nouns[raw.kind],
    form: raw.kind,
    branches: [branch],
    faults: openOrShorted(name, branch),
    variableFaults: valuedFaults(name, raw, branch, impedance, sensor),
    path,
  });
}

function valuedFaults(
  name: string,
  { kind }: Raw.Passive,
  branch: number,
  { ohms, tolerance }: Impedance,
  sensor: Sensor | undefined,
): VariableFault[] {
  // What counts in these is no resistance: only more of it is a fault.
  if (kind === 'capacitor' || kind === 'inductor') return wornContact(name, undefined, branch, ohms);
  return sensor === undefined
    ? driftedResistance(name, branch, ohms, tolerance)
    : driftedSensor(name, branch, sensor.ohmsAtRest);
}

/** `condition` and `curve` as a branch has them. */
interface Sensor {
  readonly condition: string;
  readonly curve: Curve;
  readonly ohmsAtRest: Ohms;
}

const nouns: Readonly<Record<Raw.Passive['kind'], string>> = {
  resistor: 'resistor',
  inductor: 'inductor',
  capacitor: 'capacitor',
  thermistor: 'thermistor',
  rtd: 'platinum sensor',
};

/** What each kind is made of; any other of these keys is a slip. */
const valueKeys = ['resistance', 'inductance', 'capacitance', 'follows', 'curve'] as const;
const keysOf: Readonly<Record<Raw.Passive['kind'], readonly (typeof valueKeys)[number][]>> = {
  resistor: ['resistance'],
  inductor: ['inductance', 'resistance'],
  capacitor: ['capacitance', 'resistance'],
  thermistor: ['curve', 'follows'],
  rtd: ['curve', 'follows'],
};

/** Keys that may be left out: the resistance of a coil's wire, or of a capacitor's leads. */
const optional: readonly string[] = ['inductor.resistance', 'capacitor.resistance'];

function passiveImpedance(draft: Draft, name: string, raw: Raw.Passive, path: Path): Impedance {
  const keys = keysOf[raw.kind];
  const foreign = valueKeys.filter((key) => raw[key] !== undefined && !keys.includes(key));
  for (const key of foreign)
    draft.report('key-conflict', { part: name, keys: [`kind: ${raw.kind}`, key] }, [...path, key], 'key');
  const missing = keys.filter((key) => raw[key] === undefined && !optional.includes(`${raw.kind}.${key}`));
  // What stands there in its place is told already.
  if (missing.length > 0 && foreign.length === 0)
    draft.report('key-needed', { part: name, keys: missing }, path, 'key');
  const stated = draft.quantity(raw.tolerance, 'ratio', [...path, 'tolerance'], { least: 0, most: 0.9 });
  const tolerance = stated ?? passiveTolerance[raw.kind];
  const ohms = draft.quantity(raw.resistance, 'resistance', [...path, 'resistance'], plausible.resistance);
  switch (raw.kind) {
    case 'capacitor': {
      const farads = draft.quantity(
        raw.capacitance,
        'capacitance',
        [...path, 'capacitance'],
        plausible.capacitance,
      );
      return { ohms: ohms ?? 0, reactanceOhms: 0, farads: farads ?? 1e-6, tolerance };
    }
    case 'inductor': {
      const henries = draft.quantity(
        raw.inductance,
        'inductance',
        [...path, 'inductance'],
        plausible.inductance,
      );
      return {
        ohms: ohms ?? leastOhms,
        reactanceOhms: 2 * Math.PI * draft.ownHertz() * (henries ?? 1),
        tolerance,
      };
    }
    default:
      return { ohms: ohms ?? 1, reactanceOhms: 0, tolerance };
  }
}

function readSensor(draft: Draft, name: string, raw: Raw.Passive, path: Path): Sensor | undefined {
  const curve =
    raw.curve === undefined || (raw.kind !== 'thermistor' && raw.kind !== 'rtd')
      ? undefined
      : readCurve(draft, name, raw.kind, raw.curve, [...path, 'curve']);
  if (raw.follows === undefined) return undefined;
  const where = [...path, 'follows'];
  const condition = draft.conditions.get(raw.follows);
  if (condition === undefined) {
    draft.unknown('condition', raw.follows, draft.conditions.keys(), where);
    return undefined;
  }
  if (condition.unit !== 'degC') {
    draft.report(
      'state-value',
      { key: 'follows', found: raw.follows, expected: 'a condition in degC' },
      where,
    );
    return undefined;
  }
  if (curve === undefined) return undefined;
  // A rest beyond the curve is told elsewhere.
  const atRest = Math.min(curve.to, Math.max(curve.from, Number(condition.rest)));
  return { condition: condition.name, curve, ohmsAtRest: curveOhms(curve, atRest) };
}
