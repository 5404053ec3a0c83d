import { nearestName, readQuantity } from '../../text/text.js';
import {
  type LoadName,
  loadKinds,
  type ProtectorName,
  protectorKinds,
  type SupplyName,
  type SwitchName,
  supplyKinds,
  switchKinds,
} from './kinds.js';

/** What a circuit is started from. */
export interface Answers {
  readonly title: string;
  readonly supply: SupplyName;
  readonly loads: readonly (Wanted<LoadName> & { readonly watts?: number })[];
  readonly protectors: readonly Wanted<ProtectorName>[];
  /** In series from the supply on. */
  readonly switches: readonly Wanted<SwitchName>[];
}

export interface Wanted<Kind extends string> {
  readonly name: string;
  readonly kind: Kind;
}

/** One answer as it was written; undefined where it was not given. */
export interface Written {
  readonly title: string | undefined;
  readonly supply: string | undefined;
  readonly load: readonly string[] | undefined;
  readonly protector: readonly string[] | undefined;
  readonly switch: readonly string[] | undefined;
}

/** What holds where nothing was said. */
export const usual = {
  title: 'New appliance',
  supply: '120V',
  load: ['heating-element'],
  protector: ['fuse'],
  switch: ['on-off'],
} as const;

/** What is wrong with an answer, and what would be right. */
export class Unanswerable extends Error {
  readonly help: string;

  constructor(message: string, help: string) {
    super(message);
    this.help = help;
  }
}

/** The answers in full. Throws an `Unanswerable` for the first that is none. */
export function readAnswers(written: Written): Answers {
  const names = new Set(['MAINS', 'CHASSIS', 'temperature', 'door', 'power', 'after']);
  const loads = (written.load ?? usual.load).map((text) => readLoad(text, names));
  const protectors = (written.protector ?? usual.protector).map((text) => readProtector(text, names));
  const switches = (written.switch ?? usual.switch).map((text) => wanted(text, switchKinds, names));
  if (loads.length === 0) throw new Unanswerable('a circuit needs a load.', kindsOf(loadKinds));
  if (switches.filter(({ kind }) => kind === 'selector').length > 1)
    throw new Unanswerable('one selector is enough to start from.', 'Write further ones into the file.');
  return {
    title: readTitle(written.title ?? usual.title),
    supply: readSupply(written.supply ?? usual.supply),
    loads,
    protectors,
    switches,
  };
}

export function readTitle(text: string): string {
  const title = text.trim();
  if (title === '' || title.length > 200 || /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u.test(title))
    throw new Unanswerable('a title is a line of up to 200 signs.', "For instance: --title 'Towel rail'.");
  return title;
}

export function readSupply(text: string): SupplyName {
  const plain = text.replaceAll(' ', '');
  const found = (Object.keys(supplyKinds) as SupplyName[]).find(
    (name) => name.toLowerCase() === plain.toLowerCase(),
  );
  if (found === undefined) throw new Unanswerable(unknown(text, 'supply', supplyKinds), kindsOf(supplyKinds));
  return found;
}

/** `KIND`, `NAME=KIND`, `NAME=KIND:POWER`. */
export function readLoad(text: string, names: Set<string>): Answers['loads'][number] {
  const [, start = text, power] = /^([^:]*):(.*)$/s.exec(text) ?? [];
  const load = wanted(start, loadKinds, names);
  if (power === undefined) return load;
  const read = readQuantity(power.trim(), 'power', { least: 0.1, most: 50_000 });
  if (!read.ok)
    throw new Unanswerable(
      `${power.trim()} is no power of a load.`,
      'For instance: HEAT=heating-element:2 kW.',
    );
  return { ...load, watts: read.value };
}

/** Where there are several lines each has one, numbered: those names are taken as well. */
export function readProtector(text: string, names: Set<string>): Wanted<ProtectorName> {
  const protector = wanted(text, protectorKinds, names);
  for (const number of [1, 2, 3]) names.add(`${protector.name}${number}`);
  return protector;
}

/** `KIND` or `NAME=KIND`; without a name the usual one of the kind, numbered where it is taken. */
export function wanted<Kind extends string>(
  text: string,
  kinds: Readonly<Record<Kind, { readonly name: string }>>,
  names: Set<string>,
): Wanted<Kind> {
  const [, given, kindText = text] = /^([^=]*)=(.*)$/s.exec(text) ?? [];
  const wantedKind = kindText.trim();
  const kind = (Object.keys(kinds) as Kind[]).find((each) => each === wantedKind);
  if (kind === undefined) throw new Unanswerable(unknown(wantedKind, 'kind', kinds), kindsOf(kinds));
  const name = given?.trim() ?? freeName(kinds[kind].name, names);
  if (!/^(?!(?:constructor|prototype)$)[A-Za-z][A-Za-z0-9_-]{0,36}$/.test(name))
    throw new Unanswerable(
      `${name} can not be the name of a part.`,
      'Letters, digits, - and _, a letter first.',
    );
  if (names.has(name))
    throw new Unanswerable(`${name} is taken already.`, 'Give each part a name of its own.');
  names.add(name);
  return { name, kind };
}

function freeName(base: string, names: ReadonlySet<string>): string {
  let name = base;
  for (let number = 2; names.has(name); number += 1) name = `${base}${number}`;
  return name;
}

function unknown(found: string, what: string, kinds: object): string {
  const nearest = nearestName(found, Object.keys(kinds));
  return `there is no ${what} ${found}.${nearest === undefined ? '' : ` Did you mean ${nearest}?`}`;
}

function kindsOf(kinds: object): string {
  return `There are: ${Object.keys(kinds).join(', ')}.`;
}
