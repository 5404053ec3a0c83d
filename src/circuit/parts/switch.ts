import type { Path, Raw } from '../../text/text.js';
import type { Gate } from '../branch.js';
import { defaultOhms, plausible } from '../defaults.js';
import type { Draft } from '../draft.js';
import type { Fault, VariableFault } from '../fault.js';
import { type ContactKeys, conditionGate, expandPositions, loadGate, positionGate } from './contact-gate.js';
import { contactFaults, wornContact } from './part-faults.js';

interface Contact {
  /** Absent for the short form's one contact. */
  readonly name: string | undefined;
  readonly raw: ContactKeys & { readonly between: readonly string[]; readonly resistance?: string | number };
  readonly path: Path;
}

/** A switch with positions of its own, or one moved by a condition; one contact (short form) or a contact chart. */
export function addSwitch(draft: Draft, name: string, raw: Raw.Switch, path: Path): void {
  const gateOf = gates(draft, name, raw, path);
  const contacts = listContacts(draft, name, raw, path);
  const branches: number[] = [];
  const faults: Fault[] = [];
  const variableFaults: VariableFault[] = [];
  for (const contact of contacts) {
    const [from, to] = draft.pair(name, contact.raw.between, [...contact.path, 'between']);
    const gate = gateOf(contact.raw, contact.path);
    const ohms = contactOhms(draft, contact);
    const branch = draft.addBranch({
      name: contact.name === undefined ? name : `${name}.${contact.name}`,
      part: name,
      role: 'contact',
      from,
      to,
      impedance: { ohms, reactanceOhms: 0, tolerance: 0 },
      ...(gate === undefined ? {} : { gate }),
    });
    branches.push(branch);
    const at = contacts.length > 1 ? contact.name : undefined;
    faults.push(...contactFaults(name, at, branch));
    variableFaults.push(...wornContact(name, at, branch, ohms));
  }
  faults.push(...throwFaults(draft, name, branches));
  draft.parts.set(name, {
    name,
    kind: 'switch',
    ...(raw.title === undefined ? {} : { title: raw.title }),
    noun: raw.title ?? 'switch',
    branches,
    faults,
    variableFaults,
    path,
  });
}

/** A change-over switch that stays as it is below its thresholds, or as above them: both throws at once. */
function throwFaults({ branches: all }: Draft, part: string, branches: readonly number[]): Fault[] {
  const throws = branches.flatMap((branch) => {
    const { gate, impedance } = all[branch] ?? {};
    return gate?.kind === 'threshold' && impedance !== undefined
      ? [{ branch, ohms: impedance.ohms, rises: gate.limits.closesAbove !== undefined }]
      : [];
  });
  if (!throws.some((each) => each.rises) || throws.every((each) => each.rises)) return [];
  const stays = (tripped: boolean) =>
    throws.map(({ branch, ohms, rises }) =>
      rises === tripped
        ? ({ kind: 'conducts', branch, ohms } as const)
        : ({ kind: 'absent', branch } as const),
    );
  return [
    { part, mode: 'dead', changes: stays(false) },
    { part, mode: 'always-on', changes: stays(true) },
  ];
}

function contactOhms(draft: Draft, contact: Contact): number {
  const where = [...contact.path, 'resistance'];
  const stated = draft.quantity(contact.raw.resistance, 'resistance', where, plausible.resistance);
  return stated ?? defaultOhms.contact;
}

function listContacts(draft: Draft, name: string, raw: Raw.Switch, path: Path): Contact[] {
  if (raw.contacts !== undefined && raw.between !== undefined) {
    draft.report('key-conflict', { part: name, keys: ['between', 'contacts'] }, [...path, 'between'], 'key');
  }
  if (raw.contacts !== undefined) {
    for (const key of [
      'closed-in',
      'resistance',
      'opens-above',
      'closes-below',
      'closes-above',
      'opens-below',
    ] as const) {
      if (raw[key] !== undefined)
        draft.report('key-conflict', { part: name, keys: ['contacts', key] }, [...path, key], 'key');
    }
    return Object.entries(raw.contacts).map(([contact, each]) => ({
      name: contact,
      raw: each,
      path: [...path, 'contacts', contact],
    }));
  }
  if (raw.between === undefined) {
    draft.report('key-needed', { part: name, keys: ['between', 'contacts'] }, path, 'key');
    return [];
  }
  return [{ name: undefined, raw: { ...raw, between: raw.between }, path }];
}

type GateOf = (keys: ContactKeys, path: Path) => Gate | undefined;

function gates(draft: Draft, name: string, raw: Raw.Switch, path: Path): GateOf {
  if (raw.follows !== undefined) return followed(draft, name, raw.follows, raw, path);
  if (raw.positions === undefined) {
    draft.report('key-needed', { part: name, keys: ['positions', 'follows'] }, path, 'key');
    return () => undefined;
  }
  const positions = expandPositions(raw.positions);
  const rest = raw.rest === undefined ? positions[0] : String(raw.rest);
  if (rest !== undefined && !positions.includes(rest))
    draft.unknown('position', rest, positions, [...path, 'rest'], name);
  draft.switches.set(name, { name, positions, rest: rest ?? '', path });
  return (keys, where) => positionGate(draft, name, positions, keys, where);
}

function followed(draft: Draft, name: string, follows: string, raw: Raw.Switch, path: Path): GateOf {
  const where = [...path, 'follows'];
  if (raw.positions !== undefined) {
    draft.report('key-conflict', { part: name, keys: ['positions', 'follows'] }, where, 'key');
  }
  const condition = draft.conditions.get(follows);
  if (condition !== undefined) {
    const throws = Object.keys(raw.contacts ?? {}).length > 1 ? ({ throws: true } as const) : {};
    draft.switches.set(name, { name, follows, ...throws, path });
    return (keys, at) => conditionGate(draft, name, condition, keys, at);
  }
  draft.switches.set(name, { name, follows, followsLoad: true, path });
  if (raw.rest !== undefined)
    draft.report(
      'key-conflict',
      { part: name, keys: [`follows: ${follows}`, 'rest'] },
      [...path, 'rest'],
      'key',
    );
  if (!draft.owners.has(follows)) {
    draft.unknown('condition or load', follows, [...draft.conditions.keys(), ...draft.owners], where);
    return () => undefined;
  }
  const actuator = draft.followLoad(follows, where);
  return (keys, at) => loadGate(draft, name, follows, actuator, keys, at);
}
