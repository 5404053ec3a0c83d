import { isConductor } from '../circuit/circuit.js';
import type { Laid, Rows } from './laid.js';
import type { Rung } from './rungs.js';
import type { Section } from './sections.js';
import { spinesOf, type Upright, uprightsOf } from './uprights.js';

/**
 * Puts the rungs in an order with few and short uprights, so that little is crossed: each rung is tried in every place
 * until nothing gets better. Feeds, or the winding that
 * feeds, stay on top; the first left and the first right feed share a row.
 */
export function orderRows(
  section: Section,
  rungs: readonly Rung[],
  startWindings: ReadonlyMap<number, number>,
): Rows {
  const laid = layRungs(section, rungs);
  const [left] = laid.filter(({ rung }) => rung.kind === 'feed' && isLeft(section, rung));
  const [right] = laid.filter(({ rung }) => rung.kind === 'feed' && !isLeft(section, rung));
  const feeding = laid.filter(({ rung }) => isSource(section, rung));
  const top =
    left === undefined && right === undefined
      ? feeding.slice(0, 1)
      : [left, right].flatMap((each) => each ?? []);
  const rest = laid.filter((each) => !top.includes(each)).map((each) => [each]);
  const head = top.length === 0 ? [] : [top];
  const behind = nodesBehindLoads(rungs);
  const motors = motorsIn(rungs, startWindings);
  const cost = (rows: Rows) => costOf(section, [...head, ...rows], behind) + costOfMotors(motors, rows);
  const ordered = improve(rest, cost);
  // Only when the loads stand well: feeds first, or they would be in the way.
  const fed = improve(ordered, (rows) => cost(rows) + costOfFeeds(section, rows));
  return [...head, ...fed];
}

/** A winding between the rails that it feeds. */
function isSource({ poles }: Section, { elements, nodes }: Rung): boolean {
  const [only] = elements;
  const ends = poles.map(({ node }) => node);
  return elements.length === 1 && only?.role === 'winding' && nodes.every((node) => ends.includes(node));
}

function isLeft({ poles }: Section, { nodes }: Rung): boolean {
  return poles.some(({ side, rail }) => side === 'left' && rail === nodes[0]);
}

/** Changes tried at most: a big circuit keeps the order in which its rungs were found. */
const mostTries = 20_000;

function improve(start: Rows, cost: (rows: Rows) => number): Rows {
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
  return rows;
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

/** Rungs with a motor's main winding, and those with the winding that starts it. */
type Motors = readonly (readonly [main: Rung, start: Rung])[];

function motorsIn(rungs: readonly Rung[], startWindings: ReadonlyMap<number, number>): Motors {
  const rungOf = (branch: number) =>
    rungs.find((rung) => rung.elements.some((each) => each.branch === branch));
  return [...startWindings].flatMap(([main, start]) => {
    const [a, b] = [rungOf(main), rungOf(start)];
    return a === undefined || b === undefined || a === b ? [] : [[a, b] as const];
  });
}

/** A motor's main winding stands above the one that starts it. */
function costOfMotors(motors: Motors, rows: Rows): number {
  if (motors.length === 0) return 0;
  const rowOf = new Map(rows.flatMap((laids, row) => laids.map(({ rung }) => [rung, row] as const)));
  const turned = motors.filter(([main, start]) => (rowOf.get(main) ?? -1) > (rowOf.get(start) ?? -1));
  return weights.turned * turned.length;
}

/** Nodes on the right rail's side of a load: only what hangs on these can cross a feed of that rail. */
function nodesBehindLoads(rungs: readonly Rung[]): ReadonlySet<number> {
  return new Set(
    rungs.flatMap(({ nodes, elements }) => {
      const load = elements.findIndex(({ role }) => !isConductor(role));
      return load < 0 ? [] : nodes.slice(load + 1);
    }),
  );
}

/** What crossings, lengths and clashes weigh against one another: two conductors over each other would be a lie. */
const weights = { clash: 1000, crossed: 3, turned: 8, length: 0.2, fed: 20, apart: 0.01 } as const;

function costOf(section: Section, rows: Rows, behind: ReadonlySet<number>): number {
  const { poles } = section;
  const rails = new Map(poles.map(({ rail, side }) => [rail, side]));
  const spines = spinesOf(rows);
  const uprights = uprightsOf(rows).map((each) => ({
    ...each,
    // Rails of one side stand over one another.
    spine: (each.loop === undefined ? rails.get(each.node) : undefined) ?? spines.get(each.node) ?? each.node,
  }));
  const feeds = rows.flatMap(([laid], row) =>
    laid?.rung.kind === 'feed' ? [{ row, left: isLeft(section, laid.rung) }] : [],
  );
  let cost = 0;
  for (const [index, a] of uprights.entries()) {
    if (typeof a.spine === 'number') {
      const short = feeds.filter(
        ({ row, left }) => row > a.first && row < a.last && left === behind.has(a.node),
      );
      cost += weights.crossed * Math.max(0, a.last - a.first + 1 - a.touches - short.length);
    }
    cost += weights.length * (a.last - a.first);
    for (const b of uprights.slice(index + 1)) if (a.spine === b.spine && clash(a, b)) cost += weights.clash;
  }
  // Otherwise as the file has them.
  const found = rows.flat().map(({ rung }) => Math.min(...rung.elements.map((each) => each.index)));
  for (let at = 1; at < found.length; at += 1)
    if ((found[at] ?? 0) < (found[at - 1] ?? 0)) cost += weights.apart;
  return cost;
}

/** Feeds away from the head of their rail. */
function costOfFeeds({ poles }: Section, rows: Rows): number {
  const uprights = uprightsOf(rows).filter(({ loop }) => loop === undefined);
  const rails = new Set(poles.map(({ rail }) => rail));
  let cost = 0;
  for (const [row, laids] of rows.entries()) {
    for (const { rung } of laids) {
      const rail = uprights.find(({ node }) => rails.has(node) && rung.nodes.includes(node));
      if (rung.kind === 'feed' && rail !== undefined) cost += weights.fed * (row - rail.first);
    }
  }
  return cost;
}

/** Whether two that stand at one place would run over one another; they may meet end to end where a loop joins them. */
function clash(a: Upright, b: Upright): boolean {
  const joined = a.loop?.other === b.node || b.loop?.other === a.node || a.node === b.node;
  return joined ? a.first < b.last && b.first < a.last : a.first <= b.last && b.first <= a.last;
}
