import type { Path, Raw } from '../../text/text.js';
import { copperOhmMetres, defaultOhms, leastOhms, plausible } from '../defaults.js';
import type { Draft } from '../draft.js';
import type { Metres, Ohms } from '../units.js';
import { wornContact } from './part-faults.js';

/** A wire joins two nodes; its default name is `FROM-TO`. */
export function addWire(draft: Draft, name: string, raw: Raw.Wire, path: Path): void {
  const from = draft.node(raw.from, [...path, 'from']);
  const to = draft.node(raw.to, [...path, 'to']);
  if (from === to) draft.report('node-same', { part: name, node: raw.from }, path);
  const metres = draft.quantity(raw.length, 'length', [...path, 'length'], plausible.length);
  const ohms = wireOhms(draft, raw, metres, path);
  const branch = draft.addBranch({
    name,
    part: name,
    role: 'wire',
    from,
    to,
    impedance: { ohms, reactanceOhms: 0, tolerance: 0 },
    ...(metres === undefined ? {} : { metres }),
  });
  draft.parts.set(name, {
    name,
    kind: 'wire',
    ...(raw.title === undefined ? {} : { title: raw.title }),
    noun: raw.colour === undefined ? 'wire' : `${raw.colour} wire`,
    branches: [branch],
    faults: [{ part: name, mode: 'open', changes: [{ kind: 'absent', branch }] }],
    variableFaults: wornContact(name, undefined, branch, ohms),
    ...(raw.colour === undefined ? {} : { colour: raw.colour }),
    ...(raw.gauge === undefined ? {} : { gauge: gaugeText(raw.gauge) }),
    path,
  });
}

/** As written; a bare number is in square millimetres. */
function gaugeText(gauge: string | number): string {
  return typeof gauge === 'number' ? `${gauge} mm2` : gauge;
}

/** Stated resistance, else copper of its gauge and length at 20 degC, else the default. */
function wireOhms(draft: Draft, raw: Raw.Wire, metres: Metres | undefined, path: Path): Ohms {
  const stated = draft.quantity(raw.resistance, 'resistance', [...path, 'resistance'], plausible.resistance);
  const squareMillimetres = draft.quantity(raw.gauge, 'gauge', [...path, 'gauge'], plausible.gauge);
  if (stated !== undefined) return stated;
  if (squareMillimetres === undefined || metres === undefined) return defaultOhms.wire;
  return Math.max(leastOhms, (copperOhmMetres * metres) / (squareMillimetres * 1e-6));
}
