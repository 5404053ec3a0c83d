import type { Element } from './elements.js';
import type { Laid, Rows } from './laid.js';

/** What runs from row to row: a node with rungs in several, or a wire looped from one part to the next. */
export interface Upright {
  readonly node: number;
  /** The looped wire, and the node at its other end, which may be above. */
  readonly loop?: { readonly element: Element; readonly other: number; readonly upwards: boolean };
  readonly first: number;
  readonly last: number;
  /** Rows in which something is joined to it. */
  readonly touches: number;
}

/** The nodes of a rung that stand in its own row. */
export function nodesInRow({ rung, dropsIn, dropsOut }: Laid): readonly number[] {
  return rung.nodes.slice(dropsIn ? 1 : 0, dropsOut ? -1 : undefined);
}

export function elementsInRow({ rung, dropsIn, dropsOut }: Laid): readonly Element[] {
  return rung.elements.slice(dropsIn ? 1 : 0, dropsOut ? -1 : undefined);
}

/** Whether the ends of what stands in a rung's row are joined to nothing there, but only named. */
export function namedEnds({ rung, dropsIn, dropsOut }: Laid): readonly [boolean, boolean] {
  return [rung.starts === 'named' && !dropsIn, rung.ends === 'named' && !dropsOut];
}

/** All uprights, and nodes that stand in one row only (`first` is `last`). */
export function uprightsOf(rows: Rows): readonly Upright[] {
  const rowsOf = new Map<number, number[]>();
  for (const [row, laids] of rows.entries()) {
    for (const laid of laids) {
      const nodes = nodesInRow(laid);
      const [starts, ends] = namedEnds(laid);
      const joined = nodes.slice(starts ? 1 : 0, ends ? -1 : undefined);
      for (const node of joined) {
        const list = rowsOf.get(node);
        if (list === undefined) rowsOf.set(node, [row]);
        else list.push(row);
      }
    }
  }
  const nodes = [...rowsOf].map(
    ([node, at]): Upright => ({ node, first: Math.min(...at), last: Math.max(...at), touches: at.length }),
  );
  const loops = rows.flat().flatMap(({ rung, dropsIn, dropsOut }) => {
    const { nodes: along, elements } = rung;
    return [
      ...(dropsIn ? [loop(rowsOf, along[0], along[1], elements[0])] : []),
      ...(dropsOut ? [loop(rowsOf, along.at(-1), along.at(-2), elements.at(-1))] : []),
    ].flat();
  });
  return [...nodes, ...loops];
}

function loop(
  rowsOf: ReadonlyMap<number, readonly number[]>,
  node: number | undefined,
  other: number | undefined,
  element: Element | undefined,
): Upright[] {
  if (node === undefined || other === undefined || element === undefined) return [];
  const [a, b] = [rowsOf.get(node)?.[0] ?? 0, rowsOf.get(other)?.[0] ?? 0];
  const looped = { element, other, upwards: b < a };
  return [{ node, loop: looped, first: Math.min(a, b), last: Math.max(a, b), touches: 2 }];
}

/** Nodes that stand under one another because a looped wire joins them: any of them to one of them. */
export function spinesOf(rows: Rows): ReadonlyMap<number, number> {
  const spine = new Map<number, number>();
  const rootOf = (node: number): number => {
    const up = spine.get(node);
    return up === undefined || up === node ? node : rootOf(up);
  };
  for (const { rung, dropsIn, dropsOut } of rows.flat()) {
    const { nodes } = rung;
    if (dropsIn) spine.set(rootOf(nodes[1] ?? -1), rootOf(nodes[0] ?? -1));
    if (dropsOut) spine.set(rootOf(nodes.at(-2) ?? -1), rootOf(nodes.at(-1) ?? -1));
  }
  return new Map([...spine.keys()].map((node) => [node, rootOf(node)]));
}
