import type { Path, Raw } from '../../text/text.js';
import { defaultOhms, plausible } from '../defaults.js';
import type { Draft } from '../draft.js';
import type { Face } from '../model.js';
import { wornContact } from './part-faults.js';

/** Pin k joins SIDE1.k and SIDE2.k; each pin is a part of its own, `J3:2`, for a pin fails alone. */
export function addConnector(draft: Draft, name: string, raw: Raw.Connector, path: Path): void {
  const [harness = '', board = ''] = raw.sides;
  const ohms =
    draft.quantity(raw.resistance, 'resistance', [...path, 'resistance'], plausible.resistance) ??
    defaultOhms.pin;
  const pins: { part: string; branch: number }[] = [];
  for (let pin = 1; pin <= raw.pins; pin += 1) {
    const part = `${name}:${pin}`;
    const branch = draft.addBranch({
      name: part,
      part,
      role: 'pin',
      from: draft.node(`${harness}.${pin}`, [...path, 'sides', 0], harness),
      to: draft.node(`${board}.${pin}`, [...path, 'sides', 1], board),
      impedance: { ohms, reactanceOhms: 0, tolerance: 0 },
    });
    draft.parts.set(part, {
      name: part,
      kind: 'connector',
      noun: 'connector pin',
      branches: [branch],
      faults: [{ part, mode: 'open', changes: [{ kind: 'absent', branch }] }],
      variableFaults: wornContact(part, undefined, branch, ohms),
      path,
    });
    pins.push({ part, branch });
  }
  draft.owners.add(harness);
  draft.owners.add(board);
  const face = readFace(draft, raw, [...path, 'face']);
  const title = raw.title === undefined ? {} : { title: raw.title };
  draft.connectors.set(name, {
    name,
    ...title,
    sides: [harness, board],
    pins,
    ...(face === undefined ? {} : { face }),
  });
}

/** Every pin stands on the face once; one row in order where no rows are given. */
function readFace(draft: Draft, { face, pins }: Raw.Connector, path: Path): Face | undefined {
  if (face === undefined) return undefined;
  const all = Array.from({ length: pins }, (_, index) => index + 1);
  const rows = face.rows ?? [all];
  const seen = new Set<number>();
  for (const [row, numbers] of rows.entries()) {
    for (const [column, pin] of numbers.entries()) {
      if (pin > pins) draft.report('face-pin', { pin, pins, twice: false }, [...path, 'rows', row, column]);
      else if (seen.has(pin))
        draft.report('face-pin', { pin, pins, twice: true }, [...path, 'rows', row, column]);
      seen.add(pin);
    }
  }
  const missing = all.filter((pin) => !seen.has(pin));
  // A wrong number most likely stands for the one that is missing.
  if (missing.length > 0 && rows.flat().length < pins)
    draft.report('face-incomplete', { missing }, [...path, 'rows']);
  return { seenFrom: face['seen-from'], rows };
}
