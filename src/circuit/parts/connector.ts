import type { Path, Raw } from '../../text/text.js';
import { defaultOhms, plausible } from '../defaults.js';
import type { Draft } from '../draft.js';
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
  draft.connectors.set(name, { name, pins });
}
