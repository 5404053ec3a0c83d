import type { Path, Raw } from '../../text/text.js';
import type { Gate } from '../branch.js';
import { defaultOhms, leastOhms, mostOhms } from '../defaults.js';
import type { Draft } from '../draft.js';
import type { Fault } from '../fault.js';
import { type ContactKeys, conditionGate, positionGate } from './contact-gate.js';

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
  for (const contact of contacts) {
    const [from, to] = draft.pair(name, contact.raw.between, [...contact.path, 'between']);
    const gate = gateOf(contact.raw, contact.path);
    const branch = draft.addBranch({
      name: contact.name === undefined ? name : `${name}.${contact.name}`,
      part: name,
      role: 'contact',
      from,
      to,
      impedance: { ohms: contactOhms(draft, contact), reactanceOhms: 0, tolerance: 0 },
      ...(gate === undefined ? {} : { gate }),
    });
    branches.push(branch);
    faults.push(...contactFaults(name, contacts.length > 1 ? contact.name : undefined, branch));
  }
  draft.parts.set(name, {
    name,
    kind: 'switch',
    ...(raw.title === undefined ? {} : { title: raw.title }),
    noun: raw.title ?? 'switch',
    branches,
    faults,
    path,
  });
}

/** A contact that never closes, and one that never opens. */
export function contactFaults(part: string, at: string | undefined, branch: number): Fault[] {
  const where = at === undefined ? {} : { at };
  return [
    { part, mode: 'stuck-open', ...where, changes: [{ kind: 'absent', branch }] },
    {
      part,
      mode: 'stuck-closed',
      ...where,
      changes: [{ kind: 'conducts', branch, ohms: defaultOhms.shorted }],
    },
  ];
}

function contactOhms(draft: Draft, contact: Contact): number {
  const where = [...contact.path, 'resistance'];
  const stated = draft.quantity(contact.raw.resistance, 'resistance', where, {
    least: leastOhms,
    most: mostOhms,
  });
  return stated ?? defaultOhms.contact;
}

function listContacts(draft: Draft, name: string, raw: Raw.Switch, path: Path): Contact[] {
  if (raw.contacts !== undefined && raw.between !== undefined) {
    draft.report('key-conflict', { part: name, keys: ['between', 'contacts'] }, [...path, 'between'], 'key');
  }
  if (raw.contacts !== undefined) {
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
  const positions = raw.positions.map(String);
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
  draft.switches.set(name, { name, follows, path });
  const condition = draft.conditions.get(follows);
  if (condition !== undefined) return (keys, at) => conditionGate(draft, name, condition, keys, at);
  if (draft.owners.has(follows)) {
    draft.report('kind-not-computed', { what: `a switch that follows a part (${follows})` }, where);
  } else {
    draft.unknown('condition', follows, draft.conditions.keys(), where);
  }
  return () => undefined;
}
