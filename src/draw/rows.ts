import type { Rung } from './rungs.js';
import type { Section } from './sections.js';

/** A rung with its place: what stands in one line of the sheet, and how its ends reach the rest. */
export interface Laid {
  readonly rung: Rung;
  /** Its first wire comes down (or up) from the node it starts at: the way wires are looped from part to part. */
  readonly dropsIn: boolean;
  /** Its last wire does. */
  readonly dropsOut: boolean;
}

/** The lines of a section from the top down. */
export type Rows = readonly (readonly Laid[])[];

/** Nodes and looped wires that run up and down a section at one place: the rows they span. */
interface Upright {
  /** What shares one place left to right. */
  readonly spine: string;
  readonly first: number;
  readonly last: number;
  /** Rows in which it is joined to something. */
  readonly touches: number;
  readonly rail: boolean;
}

/**
 * Puts the rungs in an order with few and short uprights, so that little is crossed: each rung is tried in every place
 * until nothing gets better. Feeds stay on top, the first left and the first right one in one row.
 */
export function orderRows(section: Section, rungs: readonly Rung[]): Rows {
  const laid = layRungs(section, rungs);
  const [left] = laid.filter(({ rung }) => rung.kind === 'feed' && isLeft(section, rung));
  const [right] = laid.filter(({ rung }) => rung.kind === 'feed' && !isLeft(section, rung));
  const top = [left, right].flatMap((each) => each ?? []);
  const rest = laid.filter((each) => !top.includes(each)).map((each) => [each]);
  const head = top.length === 0 ? [] : [top];
  return improve(rest, (rows) => costOf(section, [...head, ...rows]), head);
}

function isLeft({ poles }: Section, { nodes }: Rung): boolean {
  return poles.some(({ side, rail }) => side === 'left' && rail === nodes[0]);
}

/** Changes tried at most: a big circuit keeps the order in which its rungs were found. */
const mostTries = 20_000;

function improve(start: readonly (readonly Laid[])[], cost: (rows: Rows) => number, head: Rows): Rows {
  let rows = start;
  let best = cost(rows);
  let tries = 0;
  for (let again = true; again && tries < mostTries; ) {
    again = false;
    for (const row of rows) {
      const others = rows.filter((each) => each !== row);
      for (let at = 0; at <= others.length; at += 1) {
        tries += 1;
        const moved = [...others.slice(0, at), row, ...others.slice(at)];
        const now = cost(moved);
        if (now >= best - 1e-9) continue;
        rows = moved;
        best = now;
        again = true;
      }
    }
  }
  return [...head, ...rows];
}

/**
 * A wire at the start or end of a rung is looped straight up or down where nothing else hangs on the node it comes
 * from. A rail has a wire of its own to each rung.
 */
function layRungs({ poles }: Section, rungs: readonly Rung[]): readonly Laid[] {
  const hanging = new Map<number, number>();
  for (const { nodes, starts, ends } of rungs) {
    const joined = [...(starts === 'joined' ? [nodes[0]] : []), ...(ends === 'joined' ? [nodes.at(-1)] : [])];
    for (const node of joined) if (node !== undefined) hanging.set(node, (hanging.get(node) ?? 0) + 1);
  }
  const inside = new Set(rungs.flatMap(({ nodes }) => nodes.slice(1, -1)));
  for (const { rail } of poles) inside.delete(rail);
  const loops = (node: number | undefined): boolean =>
    node !== undefined && inside.has(node) && hanging.get(node) === 1;
  return rungs.map((rung) => {
    const { nodes, elements, starts, ends, kind } = rung;
    const free = kind !== 'feed' && elements.length > 1;
    const dropsIn = free && starts === 'joined' && elements[0]?.role === 'wire' && loops(nodes[0]);
    const last = elements.at(-1)?.role === 'wire' && loops(nodes.at(-1));
    const dropsOut =
      free && kind === 'path' && ends === 'joined' && last && (elements.length > 2 || !dropsIn);
    return { rung, dropsIn, dropsOut };
  });
}

/** The nodes of a rung that stand in its own row. */
export function nodesInRow({ rung, dropsIn, dropsOut }: Laid): readonly number[] {
  return rung.nodes.slice(dropsIn ? 1 : 0, dropsOut ? -1 : undefined);
}

/** Nodes that stand under one another because a looped wire joins them: any of them to the first. */
export function spinesOf(laid: readonly Laid[]): ReadonlyMap<number, number> {
  const spine = new Map<number, number>();
  const rootOf = (node: number): number => {
    const up = spine.get(node);
    return up === undefined || up === node ? node : rootOf(up);
  };
  for (const { rung, dropsIn, dropsOut } of laid) {
    const { nodes } = rung;
    if (dropsIn) spine.set(rootOf(nodes[1] ?? -1), rootOf(nodes[0] ?? -1));
    if (dropsOut) spine.set(rootOf(nodes.at(-2) ?? -1), rootOf(nodes.at(-1) ?? -1));
  }
  return new Map([...spine.keys()].map((node) => [node, rootOf(node)]));
}

function uprightsOf({ poles }: Section, rows: Rows): readonly Upright[] {
  const spines = spinesOf(rows.flat());
  const rails = new Map(poles.map(({ rail, side }) => [rail, side]));
  const rowsOf = new Map<number, number[]>();
  for (const [row, each] of rows.entries()) {
    for (const laid of each) {
      const { rung } = laid;
      for (const [at, node] of nodesInRow(laid).entries()) {
        const named =
          (at === 0 && !laid.dropsIn && rung.starts === 'named') ||
          (rung.ends === 'named' && node === rung.nodes.at(-1));
        if (named) continue;
        const list = rowsOf.get(node);
        if (list === undefined) rowsOf.set(node, [row]);
        else list.push(row);
      }
    }
  }
  const spineOf = (node: number) => rails.get(node) ?? String(spines.get(node) ?? node);
  const uprights = [...rowsOf].map(([node, at]): Upright => {
    const [first, last] = [Math.min(...at), Math.max(...at)];
    return { spine: spineOf(node), first, last, touches: at.length, rail: rails.has(node) };
  });
  const loop = (a: number | undefined, b: number | undefined): Upright[] => {
    if (a === undefined || b === undefined) return [];
    const [from, to] = [rowsOf.get(a)?.[0] ?? 0, rowsOf.get(b)?.[0] ?? 0];
    return [
      { spine: spineOf(a), first: Math.min(from, to), last: Math.max(from, to), touches: 2, rail: false },
    ];
  };
  for (const { rung, dropsIn, dropsOut } of rows.flat()) {
    const { nodes } = rung;
    if (dropsIn) uprights.push(...loop(nodes[0], nodes[1]));
    if (dropsOut) uprights.push(...loop(nodes.at(-1), nodes.at(-2)));
  }
  return uprights.filter(({ first, last }) => last > first);
}

/** What crossings, lengths and clashes weigh against one another: two conductors over each other would be a lie. */
const weights = { clash: 1000, crossed: 3, length: 0.2, apart: 0.01 } as const;

function costOf(section: Section, rows: Rows): number {
  const uprights = uprightsOf(section, rows);
  let cost = 0;
  for (const [index, a] of uprights.entries()) {
    if (!a.rail) cost += weights.crossed * (a.last - a.first + 1 - a.touches);
    cost += weights.length * (a.last - a.first);
    for (const b of uprights.slice(index + 1))
      if (a.spine === b.spine && a.first < b.last && b.first < a.last) cost += weights.clash;
  }
  // Otherwise as the file has them.
  const found = rows.flat().map(({ rung }) => Math.min(...rung.elements.map((each) => each.index)));
  for (let at = 1; at < found.length; at += 1)
    if ((found[at] ?? 0) < (found[at - 1] ?? 0)) cost += weights.apart;
  return cost;
}
