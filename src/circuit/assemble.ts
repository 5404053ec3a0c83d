import { type Document, type NameKind, type Path, type Raw, type Rename, withNames } from '../text/text.js';
import { joinProblems } from './check-joins.js';
import { sections } from './parts/all-kinds.js';
import type { CircuitProblem } from './problems.js';

/** A circuit or assembly file with the pieces it includes, as they were read. */
export interface Piece {
  readonly document: Document;
  readonly raw: Raw.RawCircuit;
  /** Each with its entry in `raw.include`. */
  readonly includes: readonly { readonly entry: number; readonly piece: Piece }[];
}

/** As if all stood in one file: each place still leads to the file it is in. */
export interface Assembled {
  readonly document: Document;
  readonly raw: Raw.RawCircuit;
  readonly problems: readonly CircuitProblem[];
}

/**
 * Puts a circuit together with what it includes. Names of a piece get its prefix (K1 becomes TB-K1), but for those that
 * are joined with something here. What a piece says of how often a kind fails holds for its own parts.
 */
export function assemble({ document, raw, includes }: Piece): Assembled {
  if (includes.length === 0) return { document, raw, problems: [] };
  const merged = new Merger(document, raw);
  const inner = includes.map(({ entry, piece }) => {
    const include = raw.include?.[entry];
    if (include === undefined) throw new Error(`no include ${entry}`);
    const own = assemble(piece);
    const naming = new Naming(include, own.raw);
    return { entry, include, own, naming, renamed: withNames(own.raw, naming.rename) };
  });
  for (const { entry, own, naming, renamed } of inner) merged.add(entry, own.document, naming, renamed);
  const joins = inner.flatMap(({ entry, include, own }, index) => {
    const others = inner.filter((_, other) => other !== index).map((each) => each.renamed);
    return joinProblems(document, entry, include, own.raw, [raw, ...others]);
  });
  const problems = [...inner.flatMap(({ own }) => own.problems), ...merged.problems, ...joins];
  return { document: merged.document(), raw: merged.raw, problems };
}

/** How names of one piece become names of the circuit, and back. */
class Naming {
  /** New names to those in the piece's own file. */
  readonly back = new Map<string, string>();
  private readonly include: Raw.Include;
  private readonly wires = new Map<string, string>();

  constructor(include: Raw.Include, raw: Raw.RawCircuit) {
    this.include = include;
    for (const { id, from, to } of (raw.wires ?? []).filter((each) => each !== undefined)) {
      const ends = `${this.rename('node', from)}-${this.rename('node', to)}`;
      if (id === undefined) this.wires.set(`${from}-${to}`, ends);
    }
  }

  readonly rename: Rename = (kind, name) => {
    const made = this.made(kind, name);
    this.back.set(made, name);
    return made;
  };

  isJoined(made: string): boolean {
    return Object.values(this.include.joins ?? {}).includes(made);
  }

  private made(kind: NameKind, name: string): string {
    const { joins = {}, prefix } = this.include;
    if (kind === 'prior' && isKindName(name)) return name;
    if (kind === 'wireId') {
      const [base = '', copy] = name.split('#');
      const ends = this.wires.get(base);
      if (ends !== undefined) return copy === undefined ? ends : `${ends}#${copy}`;
    }
    const joined = kind !== 'state' && Object.hasOwn(joins, name) ? joins[name] : undefined;
    return joined ?? `${prefix}-${name}`;
  }
}

type Section = keyof Raw.RawCircuit;
type Entries = Record<string, unknown>;

/** Where an entry of the merged data comes from. */
interface Origin {
  readonly document: Document;
  readonly path: Path;
  readonly naming: Naming;
  /** Where the including file says so. */
  readonly entry: number;
}

/** Sections whose entries have names, but for those that need a look of their own. */
const namedSections: readonly Section[] = ['conditions', ...sections, 'pin-maps', 'states'];
const listSections = ['wires', 'expectations'] as const;

/** The data of a circuit while pieces are added to it. */
class Merger {
  readonly raw: Raw.RawCircuit;
  readonly problems: CircuitProblem[] = [];
  private readonly own: Document;
  private readonly origins = new Map<string, Origin>();
  private readonly copied = new Set<Section>();

  constructor(own: Document, raw: Raw.RawCircuit) {
    this.own = own;
    const { include: _, ...rest } = raw;
    this.raw = rest;
  }

  add(entry: number, document: Document, naming: Naming, piece: Raw.RawCircuit): void {
    const originOf = (section: Section, key: string | number): Origin => ({
      document,
      path: [section, typeof key === 'number' ? key : (naming.back.get(key) ?? key)],
      naming,
      entry,
    });
    for (const section of namedSections) {
      for (const [name, value] of Object.entries((piece[section] ?? {}) as Entries)) {
        this.addEntry(section, name, value, originOf(section, name));
      }
    }
    for (const [name, note] of Object.entries(piece.nodes ?? {}))
      this.addNote(name, note, originOf('nodes', name));
    this.addPriors(piece);
    for (const section of listSections) {
      const list = this.list(section);
      for (const [index, item] of (piece[section] ?? []).entries()) {
        this.origins.set(keyOf(section, list.length), originOf(section, index));
        list.push(item);
      }
    }
    const hazards = [...(this.raw.hazards ?? []), ...(piece.hazards ?? [])];
    if (hazards.length > 0) this.raw.hazards = [...new Set(hazards)];
  }

  private addEntry(section: Section, name: string, value: unknown, origin: Origin): void {
    const map = this.map(section);
    if (!Object.hasOwn(map, name)) {
      map[name] = value;
      this.origins.set(keyOf(section, name), origin);
      return;
    }
    // A condition that is joined with one of the circuit is that one.
    if (section === 'conditions' && origin.naming.isJoined(name)) return;
    const at = this.spotOf(origin, [], 'key');
    this.problems.push({ code: 'name-duplicate', data: { name }, at });
  }

  /** Of two notes on one place the more careful one counts. */
  private addNote(name: string, note: Raw.NodeNote, origin: Origin): void {
    const map = this.map('nodes') as Record<string, Raw.NodeNote>;
    const known = Object.hasOwn(map, name) ? map[name] : undefined;
    if (known === undefined) this.origins.set(keyOf('nodes', name), origin);
    const reachable = known?.reachable !== false && note.reachable !== false;
    map[name] = { ...note, ...known, ...(reachable ? {} : { reachable }) };
    if (note.chassis === true) map[name] = { ...map[name], chassis: true };
  }

  /** Weights of a kind become weights of each part of the piece that is of that kind. */
  private addPriors(piece: Raw.RawCircuit): void {
    if (piece.priors === undefined) return;
    const map = this.map('priors') as Record<string, Raw.Priors>;
    for (const [name, weights] of Object.entries(piece.priors)) {
      if (!isKindName(name)) map[name] = { ...weights, ...map[name] };
    }
    for (const [kind, weights] of Object.entries(piece.priors)) {
      if (!isKindName(kind)) continue;
      for (const part of partsOfKind(piece, kind)) map[part] = { ...weights, ...map[part] };
    }
  }

  document(): Document {
    return {
      source: this.own.source,
      data: this.raw,
      locate: (path, part) => {
        const [section = '', key = '', ...below] = path;
        const origin = this.origins.get(keyOf(section, key));
        return origin === undefined ? this.own.locate(path, part) : this.spotOf(origin, below, part);
      },
    };
  }

  private spotOf({ document, path, naming, entry }: Origin, below: Path, part: 'key' | 'value') {
    const [section = ''] = path;
    const isNamed = section === 'states' || section === 'expectations';
    const steps = below.map((step) =>
      isNamed && typeof step === 'string' ? (naming.back.get(step) ?? step) : step,
    );
    const spot = document.locate([...path, ...steps], part);
    const included = this.own.locate(['include', entry, 'file'], 'value');
    return { ...spot, includedAt: [...(spot.includedAt ?? []), included] };
  }

  /** A map or list of the data that may be added to: the file's own stays as it was read. */
  private map(section: Section): Entries {
    if (!this.copied.has(section))
      Object.assign(this.raw, { [section]: Object.assign(Object.create(null), this.raw[section]) });
    this.copied.add(section);
    return this.raw[section] as unknown as Entries;
  }

  private list(section: 'wires' | 'expectations'): unknown[] {
    if (!this.copied.has(section)) Object.assign(this.raw, { [section]: [...(this.raw[section] ?? [])] });
    this.copied.add(section);
    return this.raw[section] as unknown[];
  }
}

function keyOf(section: string | number, key: string | number): string {
  return `${section} ${key}`;
}

/** Kinds that priors may be given for, and the section that holds the parts. */
const kindSections: Readonly<Record<string, Section>> = {
  supply: 'supplies',
  switch: 'switches',
  protector: 'protectors',
  load: 'loads',
  relay: 'relays',
  module: 'modules',
  passive: 'passives',
  transformer: 'transformers',
};

function isKindName(name: string): boolean {
  return name === 'wire' || name === 'connector' || Object.hasOwn(kindSections, name);
}

function partsOfKind(piece: Raw.RawCircuit, kind: string): readonly string[] {
  if (kind === 'wire')
    return (piece.wires ?? []).flatMap((wire) =>
      wire === undefined ? [] : (wire.id ?? `${wire.from}-${wire.to}`),
    );
  if (kind === 'connector')
    return Object.entries(piece.connectors ?? {}).flatMap(([name, { pins }]) =>
      Array.from({ length: pins }, (_, pin) => `${name}:${pin + 1}`),
    );
  const section = kindSections[kind];
  return section === undefined ? [] : Object.keys((piece[section] ?? {}) as Entries);
}
