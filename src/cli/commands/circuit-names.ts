import { type Circuit, faultName, listFaults } from '../../circuit/circuit.js';
import type { Candidate, NameKind } from '../completion/candidate.js';
import { loadNamedCircuit } from '../named-circuit.js';
import type { World } from '../world.js';

/**
 * Names from the first of `files` that is a circuit, or readings that name one; none where there is no such file.
 * Mistakes in it are for other commands to tell: what can be read of it is offered.
 */
export async function circuitNames(
  world: World,
  files: readonly string[],
  kind: NameKind,
  typed: string,
): Promise<readonly Candidate[]> {
  for (const file of files) {
    const circuit = await loadNamedCircuit(world, file);
    if (circuit !== undefined) return nextPieces(candidatesIn(circuit, kind, typed), typed);
  }
  return [];
}

function candidatesIn(circuit: Circuit, kind: NameKind, typed: string): readonly Candidate[] {
  switch (kind) {
    case 'state':
      return stateCandidates(circuit, typed);
    case 'node':
      return nodes(circuit);
    case 'connector':
      return plain(circuit.connectors.keys());
    case 'load':
      return [...circuit.loads.values()].map(({ name, job }) => ({ text: name, about: job }));
    case 'part':
      return parts(circuit);
    case 'fault':
      return faults(circuit);
  }
}

function plain(names: Iterable<string>): readonly Candidate[] {
  return [...names].map((text) => ({ text }));
}

/** Places no lead is ever put on are not offered. */
function nodes({ nodes: all }: Circuit): readonly Candidate[] {
  return all.filter(({ hazard }) => hazard === undefined).map(({ name, behind }) => about(name, behind));
}

function parts({ parts: all }: Circuit): readonly Candidate[] {
  return [...all.values()].map(({ name, title, noun }) => ({ text: name, about: title ?? noun }));
}

function faults(circuit: Circuit): readonly Candidate[] {
  const valued = [...circuit.parts.values()].flatMap(({ variableFaults = [] }) =>
    variableFaults.map((fault) => ({ text: `${faultName(fault)}=` })),
  );
  return [...listFaults(circuit).map((fault) => ({ text: faultName(fault) })), ...valued];
}

/** Named states, and what a state is put together from: `B1=in`, `unplugged=J3+J4`. */
function stateCandidates(circuit: Circuit, typed: string): readonly Candidate[] {
  const [, start, key = ''] = /^(([^=]*)=(?:.*\+)?)/s.exec(typed) ?? [];
  if (start !== undefined)
    return settingsOf(circuit, key).map((each) => ({ ...each, text: start + each.text }));
  const own = [...circuit.switches.values()].filter(({ followsLoad }) => followsLoad !== true);
  const keys = [...own.map(({ name }) => name), ...circuit.conditions.keys(), 'power'];
  const lists = circuit.connectors.size > 0 ? ['unplugged', 'disconnected'] : ['disconnected'];
  return [
    ...plain(circuit.states.keys()),
    ...[...keys, ...lists, 'removed', 'after'].map((key) => about(`${key}=`, circuit.parts.get(key)?.title)),
  ];
}

function about(text: string, words: string | undefined): Candidate {
  return words === undefined ? { text } : { text, about: words };
}

function settingsOf(circuit: Circuit, key: string): readonly Candidate[] {
  switch (key) {
    case 'power':
      return plain(['on', 'off']);
    case 'unplugged':
      return plain(circuit.connectors.keys());
    case 'disconnected':
      return nodes(circuit);
    case 'removed':
      return parts(circuit);
    case 'after':
      return plain(circuit.states.keys());
    default: {
      const target = circuit.switches.get(key);
      if (target === undefined) return plain(circuit.conditions.get(key)?.values ?? []);
      return plain(target.positions ?? (target.throws ? ['tripped', 'reset'] : ['open', 'closed']));
    }
  }
}

/**
 * Candidates that go on from what is typed, each up to its next : or = only: of three hundred faults the parts come
 * first. What could act in a shell or on a terminal is left out.
 */
function nextPieces(candidates: readonly Candidate[], typed: string): readonly Candidate[] {
  const pieces = new Map<string, Candidate>();
  for (const candidate of candidates) {
    const { text } = candidate;
    if (!text.startsWith(typed) || !harmless.test(text)) continue;
    const [piece] = /^[^:=]*[:=]/.exec(text.slice(typed.length)) ?? [];
    const next = piece === undefined ? text : typed + piece;
    if (!pieces.has(next)) pieces.set(next, next === text ? candidate : { text: next });
  }
  return [...pieces.values()];
}

/** The signs names are made of. */
const harmless = /^[\p{L}\p{N}_.+/:=@%-][\p{L}\p{N}_.+/:=@%#-]*$/u;
