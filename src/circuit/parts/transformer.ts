import type { Path, Raw } from '../../text/text.js';
import { defaultOhms, leastOhms, mostOhms, plausible, transformerDefaults } from '../defaults.js';
import type { Draft } from '../draft.js';
import type { Fault } from '../fault.js';
import type { Ohms, Volts } from '../units.js';

/**
 * Windings on one core, each with its own resistance and leakage reactance. Their rated no-load voltages stand for
 * their turns. What the file leaves out follows from the rating in volt-amperes.
 */
export function addTransformer(draft: Draft, name: string, raw: Raw.Transformer, path: Path): void {
  const pairs = windingPairs(draft, name, raw, path);
  const volts = raw.voltages.map((each, index) =>
    draft.quantity(each, 'voltage', [...path, 'voltages', index], plausible.voltage),
  );
  // Where it is not clear which windings there are, that alone is told.
  const clear = (raw.secondary === undefined) !== (raw.secondaries === undefined);
  if (clear) checkCount(draft, name, 'voltages', raw.voltages.length, pairs.length, path);
  const primary = volts[0] ?? 1;
  const rating = draft.quantity(raw.rating, 'apparent-power', [...path, 'rating'], plausible.power);
  const ohms = windingOhms(draft, name, raw, volts, rating, clear ? pairs.length : undefined, path);
  const reactances = leakageOhms(draft, name, raw, clear ? pairs.length : undefined, path);
  const magnetising = draft.quantity(
    raw.magnetising,
    'resistance',
    [...path, 'magnetising'],
    plausible.resistance,
  );
  const transformer = draft.transformers.length;
  const faults: Fault[] = [];
  const windings = pairs.map(({ between, path: where, at }, index) => {
    const [from, to] = draft.pair(name, between, where);
    const branch = draft.addBranch({
      name: `${name}.${at}`,
      part: name,
      role: 'winding',
      from,
      to,
      impedance: { ohms: ohms[index] ?? 1, reactanceOhms: reactances[index] ?? 0, tolerance: 0 },
      winding: { transformer, turns: volts[index] ?? 1 },
    });
    // Burnt together, a winding still sits on the core, and loads it.
    const bridge = draft.addBranch({
      name: `${name}.${at}-bridge`,
      part: name,
      role: 'passive',
      from,
      to,
      impedance: { ohms: defaultOhms.shorted, reactanceOhms: 0, tolerance: 0 },
      gate: { kind: 'fault' },
    });
    faults.push(
      { part: name, mode: 'open', at, changes: [{ kind: 'absent', branch }] },
      {
        part: name,
        mode: 'shorted',
        at,
        changes: [{ kind: 'conducts', branch: bridge, ohms: defaultOhms.shorted }],
      },
    );
    return branch;
  });
  const usual =
    (primary * primary) / (rating ?? transformerDefaults.voltAmperes) / transformerDefaults.magnetisingShare;
  draft.transformers.push({
    name,
    windings,
    magnetisingOhms: (magnetising ?? usual) / (primary * primary),
    ...(rating === undefined ? {} : { ratedAmps: rating / primary }),
  });
  draft.parts.set(name, {
    name,
    kind: 'transformer',
    ...(raw.title === undefined ? {} : { title: raw.title }),
    noun: raw.title ?? 'transformer',
    branches: windings,
    faults,
    path,
  });
}

interface Winding {
  readonly at: string;
  readonly between: readonly string[];
  readonly path: Path;
}

function windingPairs(draft: Draft, name: string, raw: Raw.Transformer, path: Path): Winding[] {
  const primary = { at: 'primary', between: raw.primary, path: [...path, 'primary'] };
  if (raw.secondary !== undefined && raw.secondaries !== undefined) {
    draft.report(
      'key-conflict',
      { part: name, keys: ['secondary', 'secondaries'] },
      [...path, 'secondaries'],
      'key',
    );
  }
  if (raw.secondary !== undefined)
    return [primary, { at: 'secondary', between: raw.secondary, path: [...path, 'secondary'] }];
  if (raw.secondaries === undefined)
    draft.report('key-needed', { part: name, keys: ['secondary', 'secondaries'] }, path, 'key');
  const secondaries = (raw.secondaries ?? []).map((between, index) => ({
    at: `secondary-${index + 1}`,
    between,
    path: [...path, 'secondaries', index],
  }));
  return [primary, ...secondaries];
}

/** Stated ones; else from the primary's, or from the rating, each winding losing the same share of its voltage. */
function windingOhms(
  draft: Draft,
  name: string,
  raw: Raw.Transformer,
  volts: readonly (Volts | undefined)[],
  rating: number | undefined,
  count: number | undefined,
  path: Path,
): Ohms[] {
  const stated = (raw.resistances ?? []).map(
    (each, index) =>
      draft.quantity(each, 'resistance', [...path, 'resistances', index], plausible.resistance) ?? 1,
  );
  if (raw.resistances !== undefined) {
    if (count !== undefined) checkCount(draft, name, 'resistances', stated.length, count, path);
    if (raw.resistance !== undefined) {
      const keys = ['resistances', 'resistance'];
      draft.report('key-conflict', { part: name, keys }, [...path, 'resistance'], 'key');
    }
    return stated;
  }
  const primary = volts[0] ?? 1;
  const usual =
    (transformerDefaults.lossShare * primary * primary) / (rating ?? transformerDefaults.voltAmperes);
  const first =
    draft.quantity(raw.resistance, 'resistance', [...path, 'resistance'], plausible.resistance) ?? usual;
  return volts.map((each) => Math.max(leastOhms, first * ((each ?? 1) / primary) ** 2));
}

function leakageOhms(
  draft: Draft,
  name: string,
  raw: Raw.Transformer,
  count: number | undefined,
  path: Path,
): Ohms[] {
  const stated = (raw.leakages ?? []).map(
    (each, index) =>
      draft.quantity(each, 'resistance', [...path, 'leakages', index], { least: 0, most: mostOhms }) ?? 0,
  );
  if (raw.leakages !== undefined && count !== undefined)
    checkCount(draft, name, 'leakages', stated.length, count, path);
  return stated;
}

function checkCount(
  draft: Draft,
  part: string,
  key: string,
  found: number,
  expected: number,
  path: Path,
): void {
  if (found !== expected) draft.report('count-differs', { part, key, found, expected }, [...path, key]);
}
