import type { Document, Path, Raw, TextProblem } from '../text/text.js';
import { byPlace, nearestName } from '../text/text.js';
import { checkEarthColours } from './check-earth-colours.js';
import { checkNodes } from './check-nodes.js';
import { listCrossings } from './crossings.js';
import { defaultAccessMinutes } from './defaults.js';
import { Draft } from './draft.js';
import { addLeaks } from './leaks.js';
import type { Circuit, CircuitNode, NamedState, PartKindName, PinMapEntry } from './model.js';
import { addPart, sections } from './parts/all-kinds.js';
import { addCondition } from './parts/condition.js';
import { linkStartWindings } from './parts/load.js';
import { addWire } from './parts/wire.js';
import { type CircuitProblem, circuitSeverities } from './problems.js';
import { stateProblems } from './read-state.js';
import { listWrongPins } from './wrong-pins.js';

/** How a problem names the circuit where it would name a part. */
export const wholeCircuit = 'the circuit';

export interface BuildResult {
  /** Absent when an error was found. */
  readonly circuit?: Circuit;
  /** What could be made of the file, errors or not: for looking up names, never for an answer. */
  readonly partial: Circuit;
  readonly problems: readonly (TextProblem | CircuitProblem)[];
}

/** A circuit file, well-formed in shape, to the immutable model; every problem of the file in one run. */
export function buildCircuit(document: Document, raw: Raw.RawCircuit): BuildResult {
  const draft = new Draft(document);
  claimNames(draft, raw);
  addConditions(draft, raw);
  addParts(draft, raw);
  addWires(draft, raw);
  noteNodes(draft, raw);
  if (draft.parts.size === 0) draft.report('key-needed', { part: wholeCircuit, keys: ['supplies'] }, []);
  checkNodes(draft);
  checkEarthColours(draft, raw.wires ?? []);
  addLeaks(draft);
  const circuit = freeze(draft, raw);
  const broken = draft.problems.some(isError);
  // Whether a contact is open at 250 degC can't be told where its thresholds are wrong.
  const states = stateProblems(circuit).filter(({ code }) => !broken || !hangsOnOthers.has(code));
  const problems = [...draft.problems, ...states].sort(byPlace);
  return problems.some(isError) ? { partial: circuit, problems } : { circuit, partial: circuit, problems };
}

/** What a state is told only when all it hangs on is sound. */
const hangsOnOthers: ReadonlySet<CircuitProblem['code']> = new Set([
  'state-undecided',
  'state-contradiction',
  'condition-range',
  'curve-range',
]);

function isError({ code }: TextProblem | CircuitProblem): boolean {
  return !(code in circuitSeverities) || circuitSeverities[code as CircuitProblem['code']] === 'error';
}

const reservedNames: ReadonlySet<string> = new Set([
  'power',
  'unplugged',
  'disconnected',
  'removed',
  'after',
]);

/** Part names are unique over all sections; a state's own words are no names for switches and conditions. */
function claimNames(draft: Draft, raw: Raw.RawCircuit): void {
  const first = new Map<string, Path>();
  const claim = (name: string, path: Path, part: 'key' | 'value') => {
    const earlier = first.get(name);
    if (earlier === undefined) {
      first.set(name, path);
      draft.owners.add(name);
      return;
    }
    draft.report('name-duplicate', { name }, path, part);
  };
  for (const section of ['conditions', ...sections] as const) {
    for (const name of Object.keys(raw[section] ?? {})) {
      const path = [section, name];
      if (reservedNames.has(name)) {
        draft.report('name-reserved', { name }, path, 'key');
      }
      claim(name, path, 'key');
    }
  }
  for (const name of Object.keys(raw.conditions ?? {})) draft.owners.delete(name);
  for (const [index, wire] of present(raw.wires)) {
    if (wire.id !== undefined) claim(wire.id, ['wires', index, 'id'], 'value');
  }
}

function addConditions(draft: Draft, raw: Raw.RawCircuit): void {
  for (const [name, each] of Object.entries(raw.conditions ?? {}))
    addCondition(draft, name, each, ['conditions', name]);
}

function addParts(draft: Draft, raw: Raw.RawCircuit): void {
  for (const section of sections) addPart(draft, raw, section);
  linkStartWindings(draft, raw.loads ?? {});
  for (const [load, { actuator, places }] of draft.followed) {
    const part = draft.parts.get(load);
    // A load that has no job is told by itself.
    if (draft.actuators.some((each) => each.index === actuator) || part?.kind === 'load') continue;
    const loads = [...draft.loads.values()].filter(({ does }) => does.kind === 'volts');
    for (const place of places)
      draft.unknown(
        'condition or load',
        load,
        [...draft.conditions.keys(), ...loads.map((each) => each.name)],
        place,
      );
  }
}

/** Items with their places; a mended file has empty ones. */
function present<Item>(list: readonly Item[] | undefined): [number, Item][] {
  return [...(list ?? []).entries()].filter(([, item]) => item !== undefined);
}

/** Wires without an id are named by their ends; a second one between the same ends gets a number. */
function addWires(draft: Draft, raw: Raw.RawCircuit): void {
  for (const [index, wire] of present(raw.wires)) {
    const base = wire.id ?? `${wire.from}-${wire.to}`;
    let name = base;
    for (let copy = 2; draft.parts.has(name); copy += 1) name = `${base}#${copy}`;
    addWire(draft, name, wire, ['wires', index]);
  }
}

function noteNodes(draft: Draft, raw: Raw.RawCircuit): void {
  for (const [section, outputs] of Object.entries(raw.modules ?? {})) {
    for (const [output, each] of Object.entries(outputs.outputs ?? {})) {
      if (each.at === undefined || each.hazard === undefined) continue;
      const index = draft.node(each.at, ['modules', section, 'outputs', output, 'at']);
      const node = draft.nodes[index];
      if (node !== undefined)
        node.note = { hazard: each.hazard, reachable: true, accessMinutes: defaultAccessMinutes };
    }
  }
  for (const [name, each] of Object.entries(raw.nodes ?? {})) {
    const path = ['nodes', name];
    const index = draft.node(name, path);
    const node = draft.nodes[index];
    if (node === undefined) continue;
    const minutes = draft.quantity(each.access, 'time', [...path, 'access'], { least: 0 });
    const hazard = each.hazard ?? node.note?.hazard;
    node.declared = true;
    node.noted = path;
    node.note = {
      ...(hazard === undefined ? {} : { hazard }),
      reachable: each.reachable ?? true,
      accessMinutes: minutes ?? defaultAccessMinutes,
      ...(each.behind === undefined ? {} : { behind: each.behind }),
      ...(each.chassis === true ? { chassis: true } : {}),
    };
  }
}

function freeze(draft: Draft, raw: Raw.RawCircuit): Circuit {
  const nodes: CircuitNode[] = draft.nodes.map((node) => ({
    name: node.name,
    index: node.index,
    reachable: true,
    accessMinutes: defaultAccessMinutes,
    ...node.note,
  }));
  return {
    title: raw.title ?? 'untitled circuit',
    ...(raw.about === undefined ? {} : { about: raw.about }),
    hazards: raw.hazards ?? [],
    document: draft.document,
    nodes,
    nodeByName: draft.nodeByName,
    branches: draft.branches,
    parts: draft.parts,
    supplies: draft.supplies,
    conditions: draft.conditions,
    switches: draft.switches,
    loads: draft.loads,
    modules: draft.modules,
    actuators: draft.actuators,
    transformers: draft.transformers,
    protectors: draft.protectors,
    connectors: draft.connectors,
    pinMap: readPinMap(draft, raw),
    priors: readPriors(draft, raw),
    states: new Map(
      Object.entries(raw.states ?? {}).map(([name, value]): [string, NamedState] => [
        name,
        { name, value, path: ['states', name] },
      ]),
    ),
    crossings: listCrossings(nodes, draft.branches, draft.parts),
    wrongPins: listWrongPins(nodes, draft.branches, draft.parts),
  };
}

/** Kinds of part, and the words a file may give priors for. */
const kinds: readonly PartKindName[] = [
  'supply',
  'switch',
  'protector',
  'load',
  'relay',
  'module',
  'passive',
  'transformer',
  'connector',
  'wire',
];

function readPriors(draft: Draft, raw: Raw.RawCircuit): Circuit['priors'] {
  const allowed = new Set<string>([...draft.parts.keys(), ...kinds]);
  for (const name of Object.keys(raw.priors ?? {})) {
    if (allowed.has(name)) continue;
    const data = {
      what: 'part',
      found: name,
      of: undefined,
      nearest: nearestName(name, [...allowed]),
      allowed: [...allowed],
    } as const;
    draft.report('reference-unknown', data, ['priors', name], 'key');
  }
  return new Map(Object.entries(raw.priors ?? {}));
}

function readPinMap(draft: Draft, raw: Raw.RawCircuit): PinMapEntry[] {
  const entries: PinMapEntry[] = [];
  for (const [name, each] of Object.entries(raw['pin-maps'] ?? {})) {
    const path = ['pin-maps', name];
    const node = draft.nodeByName.get(name);
    if (node === undefined) {
      const allowed = [...draft.nodeByName.keys()];
      const nearest = nearestName(name, allowed);
      draft.report(
        'reference-unknown',
        { what: 'node', found: name, of: undefined, nearest, allowed },
        path,
        'key',
      );
    }
    const target = draft.switches.get(each.switch);
    const position = String(each.position);
    if (target === undefined)
      draft.unknown('switch', each.switch, draft.switches.keys(), [...path, 'switch']);
    else if (target.positions !== undefined && !target.positions.includes(position)) {
      draft.unknown('position', position, target.positions, [...path, 'position'], each.switch);
    }
    if (node === undefined) continue;
    const label = each.label === undefined ? {} : { label: each.label };
    entries.push({ node, ...label, switch: each.switch, position, path });
  }
  return entries;
}
