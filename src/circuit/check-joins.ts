import { type Document, nearestName, problemAt, type Raw, withNames } from '../text/text.js';
import type { CircuitProblem } from './problems.js';

/**
 * Whether what an include joins is there, on both sides: a node or condition of the piece, or what one of its switches
 * follows, with one of the rest of the circuit.
 */
export function joinProblems(
  document: Document,
  entry: number,
  include: Raw.Include,
  piece: Raw.RawCircuit,
  rest: readonly Raw.RawCircuit[],
): CircuitProblem[] {
  const inside = namesIn(piece);
  const outside = rest.map(namesIn);
  const problems: CircuitProblem[] = [];
  const unknown = (found: string, allowed: ReadonlySet<string>, part: 'key' | 'value', key: string) => {
    const names = [...allowed];
    const of = part === 'key' ? include.file : undefined;
    const what = 'node or condition';
    const data = { what, found, of, nearest: nearestName(found, names), allowed: names } as const;
    problems.push(problemAt(document, 'reference-unknown', data, ['include', entry, 'joins', key], part));
  };
  const joins = Object.entries(include.joins ?? {});
  const meeting = new Set(
    (document.data as Raw.RawCircuit).include?.flatMap((each, index) =>
      each === undefined || index === entry ? [] : Object.values(each.joins ?? {}),
    ),
  );
  for (const [key, value] of joins) {
    const isCondition = inside.conditions.has(key);
    if (!isCondition && !inside.nodes.has(key) && !inside.followed.has(key)) {
      unknown(key, new Set([...inside.nodes, ...inside.conditions, ...inside.followed]), 'key', key);
      continue;
    }
    // What a switch follows is looked up with all other names.
    if (!isCondition && !inside.nodes.has(key)) continue;
    const of = isCondition ? 'conditions' : 'nodes';
    const known = new Set(outside.flatMap((each) => [...each[of]]));
    if (!known.has(value) && !meeting.has(value)) unknown(value, known, 'value', key);
  }
  return problems;
}

interface Names {
  readonly nodes: ReadonlySet<string>;
  readonly conditions: ReadonlySet<string>;
  /** What switches and sensors follow that is no condition of the file. */
  readonly followed: ReadonlySet<string>;
}

function namesIn(raw: Raw.RawCircuit): Names {
  const nodes = new Set<string>();
  withNames(raw, (kind, name) => {
    if (kind === 'node') nodes.add(name);
    return name;
  });
  for (const { pins, sides } of Object.values(raw.connectors ?? {})) {
    for (const side of sides) for (let pin = 1; pin <= pins; pin += 1) nodes.add(`${side}.${pin}`);
  }
  const conditions = new Set(Object.keys(raw.conditions ?? {}));
  const followers = [raw.switches, raw.protectors, raw.passives].flatMap((section) =>
    Object.values(section ?? {}),
  );
  const followed = followers.flatMap(({ follows }) =>
    follows === undefined || conditions.has(follows) ? [] : follows,
  );
  return { nodes, conditions, followed: new Set(followed) };
}
