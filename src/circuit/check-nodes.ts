import { nearestName } from '../text/text.js';
import type { Draft } from './draft.js';

/**
 * A terminal must be named by the part that owns it (or the nodes section); a bare name must be used more than
 * once. Anything else is a slip of the pen, found here with the name it was most likely meant to be.
 */
export function checkNodes(draft: Draft): void {
  const known = draft.nodes.filter((node) => node.declared || node.uses.length > 1).map((node) => node.name);
  for (const node of draft.nodes) {
    if (node.note?.reachable === false && node.uses.length === 0) continue;
    const owner = node.name.includes('.') ? node.name.slice(0, node.name.indexOf('.')) : undefined;
    const ownerKnown = owner !== undefined && draft.owners.has(owner);
    const [firstUse] = node.uses;
    if (firstUse === undefined) continue;
    if (!node.declared && (ownerKnown || node.uses.length === 1)) {
      const others = known.filter((name) => name !== node.name);
      const terminals = ownerKnown ? others.filter((name) => name.startsWith(`${owner}.`)) : others;
      const nearest = nearestName(node.name, terminals) ?? nearestName(node.name, others);
      const data = { what: 'node', found: node.name, of: undefined, nearest, allowed: terminals } as const;
      for (const use of node.uses) draft.report('reference-unknown', data, use);
    }
  }
  warnDangling(draft);
}

/** A declared terminal that nothing else touches: no wire, no second part. */
function warnDangling(draft: Draft): void {
  const touched = new Map<number, number>();
  for (const branch of draft.branches) {
    for (const end of [branch.from, branch.to]) touched.set(end, (touched.get(end) ?? 0) + 1);
  }
  const outside = (end: number, part: string) =>
    draft.branches.some((branch) => branch.part !== part && (branch.from === end || branch.to === end));
  for (const branch of draft.branches) {
    if (branch.role === 'wire' || branch.role === 'source') continue;
    const loose = [branch.from, branch.to].filter((end) => !outside(end, branch.part));
    // A spare pin of a connector hangs free on both sides, and that is in order.
    if (branch.role === 'pin' && loose.length === 2) continue;
    for (const end of loose) warnOnce(draft, end, touched.get(end) ?? 0);
  }
}

function warnOnce(draft: Draft, end: number, touched: number): void {
  const node = draft.nodes[end];
  const [path] = node?.uses ?? [];
  if (node === undefined || path === undefined || touched === 0) return;
  const already = draft.problems.some(
    (problem) =>
      (problem.code === 'node-dangling' && problem.data.node === node.name) ||
      (problem.code === 'reference-unknown' && problem.data.found === node.name),
  );
  if (!already) draft.report('node-dangling', { node: node.name, nearest: undefined }, path);
}
