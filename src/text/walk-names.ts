import type { RawCircuit } from './raw-circuit.generated.js';
import { type Shape, type ShapeRef, shapes } from './shape-keys.generated.js';

/** What a name in a circuit file is the name of. A prior is of a part, or of all parts of a kind. */
export type NameKind = 'name' | 'node' | 'wireId' | 'loadName' | 'state' | 'prior';

/** What the keys of a section are. */
const sectionKeys: Readonly<Record<string, NameKind>> = {
  supplies: 'name',
  conditions: 'name',
  switches: 'name',
  protectors: 'name',
  loads: 'name',
  relays: 'name',
  modules: 'name',
  passives: 'name',
  transformers: 'name',
  connectors: 'name',
  nodes: 'node',
  'pin-maps': 'node',
  priors: 'prior',
  states: 'state',
};

const namingTexts: ReadonlySet<string> = new Set(['name', 'node', 'wireId', 'loadName']);

export type Rename = (kind: NameKind, name: string) => string;

/**
 * A copy of a circuit's data, well-formed in shape, in which every name is what `rename` makes of it: of parts,
 * conditions, states, nodes and wires, wherever they stand. Names within one part (contacts, inputs, positions) and
 * what the file includes stay.
 */
export function withNames(raw: RawCircuit, rename: Rename): RawCircuit {
  const copy: Record<string, unknown> = Object.create(null);
  for (const [section, value] of Object.entries(raw)) {
    const kind = Object.hasOwn(sectionKeys, section) ? sectionKeys[section] : undefined;
    const ref = shapes['circuit']?.keys?.[section];
    if (section === 'include' || ref === undefined) copy[section] = value;
    else if (kind === undefined) copy[section] = renamed(value, ref, rename);
    else copy[section] = renamedSection(value, kind, ref, rename);
  }
  return copy as unknown as RawCircuit;
}

function renamedSection(value: unknown, kind: NameKind, ref: ShapeRef, rename: Rename): unknown {
  const each = shapeOf(ref)?.each;
  const copy: Record<string, unknown> = Object.create(null);
  for (const [name, entry] of Object.entries(value ?? {}))
    copy[rename(kind, name)] = each === undefined ? entry : renamed(entry, each, rename);
  return copy;
}

function renamed(value: unknown, ref: ShapeRef, rename: Rename): unknown {
  if (typeof value === 'string') return renamedText(value, ref, rename);
  if (typeof value !== 'object' || value === null) return value;
  const shape = shapeOf(ref);
  if (Array.isArray(value)) return value.map((each) => renamed(each, shape?.each ?? '', rename));
  const copy: Record<string, unknown> = Object.create(null);
  for (const [key, each] of Object.entries(value)) {
    const own = shape?.keys !== undefined && Object.hasOwn(shape.keys, key) ? shape.keys[key] : undefined;
    if (own !== undefined) copy[key] = renamed(each, own, rename);
    // In a state a key that is no word of its own is a switch or condition, and its value is no name.
    else if (ref === 'StateValue') copy[rename('name', key)] = each;
    else copy[key] = renamed(each, shape?.each ?? '', rename);
  }
  return copy;
}

function renamedText(text: string, ref: ShapeRef, rename: Rename): string {
  if (ref === 'StateValue') return rename('state', text);
  return typeof ref === 'string' && namingTexts.has(ref) ? rename(ref as NameKind, text) : text;
}

function shapeOf(ref: ShapeRef): Shape | undefined {
  if (typeof ref !== 'string') return ref;
  return Object.hasOwn(shapes, ref) ? shapes[ref] : undefined;
}
