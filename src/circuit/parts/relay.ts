import type { Path, Raw } from '../../text/text.js';
import { defaultOhms, nominalFor, plausible, relayDefaults } from '../defaults.js';
import type { Draft } from '../draft.js';
import type { Fault, VariableFault } from '../fault.js';
import type { Volts } from '../units.js';
import { statedImpedance, within } from './impedance.js';
import { contactFaults, openOrShorted, wornContact } from './part-faults.js';

/** A coil and the contacts it moves. Its job is to pull in, so that a click that was or was not heard is a symptom. */
export function addRelay(draft: Draft, name: string, raw: Raw.Relay, path: Path): void {
  const where = [...path, 'coil'];
  const [from, to] = draft.pair(name, raw.coil.between, [...where, 'between']);
  const ohms =
    draft.quantity(raw.coil.resistance, 'resistance', [...where, 'resistance'], plausible.resistance) ?? 1;
  const tolerance = relayDefaults.tolerance;
  const running = raw.coil.impedance && statedImpedance(draft, raw.coil.impedance, [...where, 'impedance']);
  const coil = draft.addBranch({
    name: `${name}.coil`,
    part: name,
    role: 'coil',
    from,
    to,
    impedance: {
      ...(running ? { ...running, dead: within(ohms, tolerance) } : { ohms, reactanceOhms: 0 }),
      tolerance,
    },
  });
  const actuator = draft.addActuator({
    kind: 'relay',
    name,
    part: name,
    branch: coil,
    ...thresholds(draft, name, raw.coil, where),
  });
  const faults: Fault[] = [
    ...openOrShorted(name, coil),
    { part: name, mode: 'dead', changes: [{ kind: 'held', actuator, on: false }] },
    { part: name, mode: 'always-on', changes: [{ kind: 'held', actuator, on: true }] },
  ];
  const variableFaults: VariableFault[] = [];
  const branches = [coil];
  for (const [contact, each] of Object.entries(raw.contacts)) {
    const at = [...path, 'contacts', contact];
    const [a, b] = draft.pair(name, each.between, [...at, 'between']);
    const stated = draft.quantity(each.resistance, 'resistance', [...at, 'resistance'], plausible.resistance);
    const branch = draft.addBranch({
      name: `${name}.${contact}`,
      part: name,
      role: 'contact',
      from: a,
      to: b,
      impedance: { ohms: stated ?? defaultOhms.contact, reactanceOhms: 0, tolerance: 0 },
      gate: { kind: 'actuator', actuator, closedWhen: each.normally === 'open' },
    });
    branches.push(branch);
    faults.push(...contactFaults(name, contact, branch));
    variableFaults.push(...wornContact(name, contact, branch, stated ?? defaultOhms.contact));
  }
  const job = raw.job ?? 'pulls in';
  draft.loads.set(name, { name, part: name, job, does: { kind: 'actuator', actuator, branch: coil } });
  draft.parts.set(name, {
    name,
    kind: 'relay',
    ...(raw.title === undefined ? {} : { title: raw.title }),
    noun: raw.title ?? 'relay',
    branches,
    faults,
    variableFaults,
    path,
  });
}

function thresholds(
  draft: Draft,
  name: string,
  raw: Raw.Coil,
  path: Path,
): { picksUpAt: Volts; dropsOutBelow: Volts } {
  const up = draft.quantity(raw['picks-up-at'], 'voltage', [...path, 'picks-up-at'], plausible.voltage);
  const down = draft.quantity(
    raw['drops-out-below'],
    'voltage',
    [...path, 'drops-out-below'],
    plausible.voltage,
  );
  const picksUpAt = up ?? relayDefaults.picksUpAt * nominalFor(draft.supplies.values(), down);
  const dropsOutBelow = down ?? (relayDefaults.dropsOutBelow / relayDefaults.picksUpAt) * picksUpAt;
  if (dropsOutBelow > picksUpAt) {
    const data = { part: name, upper: 'picks-up-at', lower: 'drops-out-below' };
    draft.report('threshold-order', data, [...path, down === undefined ? 'picks-up-at' : 'drops-out-below']);
  }
  return { picksUpAt, dropsOutBelow };
}
