import { nearestName, type Path } from '../text/text.js';
import type { Draft, DraftNode } from './draft.js';

/**
 * A terminal must be named by the part that owns it (or the nodes section); a bare name must be used more than
 * once; what the nodes section names must be there. Anything else is a slip of the pen, found here with the name
 * it was most likely meant to be.
 */
export function checkNodes(draft: Draft): void {
  const owners = ownersIn(draft);
  const touching = partsByNode(draft);
  reportUnknownOwners(draft, owners);
  reportUnknownNodes(draft, owners);
  reportIdleNotes(draft, touching);
  // A slip elsewhere leaves the place it was meant for loose: one mistake, one problem.
  if (draft.problems.length === 0) warnDangling(draft, touching);
}

/**
 * Names a terminal may begin with: parts, connector sides, and what the nodes section begins with (a terminal
 * block), unless that is one slip from a part that has no terminal of its own.
 */
function ownersIn(draft: Draft): Set<string> {
  const owners = new Set(draft.owners);
  const used = new Set(draft.nodes.map((node) => ownerOf(node.name)));
  const without = [...draft.owners].filter((part) => !used.has(part));
  for (const { name, noted } of draft.nodes) {
    const owner = ownerOf(name);
    if (noted !== undefined && owner !== undefined && nearestName(owner, without) === undefined)
      owners.add(owner);
  }
  return owners;
}

/** The first half of `PART.TERMINAL`. */
function ownerOf(name: string): string | undefined {
  const dot = name.indexOf('.');
  return dot === -1 ? undefined : name.slice(0, dot);
}

/** Terminals of a part that is not there, told once per part; a single one is told with the place it was meant for. */
function reportUnknownOwners(draft: Draft, owners: ReadonlySet<string>): void {
  const byOwner = new Map<string, DraftNode[]>();
  for (const node of draft.nodes) {
    const owner = ownerOf(node.name);
    if (owner === undefined || owners.has(owner) || node.uses.length === 0) continue;
    byOwner.set(owner, [...(byOwner.get(owner) ?? []), node]);
  }
  for (const [owner, [node, second]] of byOwner) {
    const [use] = node?.uses ?? [];
    if (node === undefined || use === undefined) continue;
    const real = draft.nodes.filter((each) => each.declared && each !== node).map((each) => each.name);
    const known = second === undefined && nearestName(node.name, real) !== undefined;
    if (known) draft.unknown('node', node.name, real, use);
    else draft.unknown('part', owner, draft.owners, use);
  }
}

function reportUnknownNodes(draft: Draft, owners: ReadonlySet<string>): void {
  const known = draft.nodes.filter((node) => node.declared || node.uses.length > 1).map((node) => node.name);
  for (const node of draft.nodes) {
    const owner = ownerOf(node.name);
    if (owner === undefined ? node.declared || node.uses.length !== 1 : node.declared || !owners.has(owner))
      continue;
    const others = known.filter((name) => name !== node.name);
    const terminals = owner === undefined ? others : others.filter((name) => name.startsWith(`${owner}.`));
    const nearest = nearestName(node.name, terminals) ?? nearestName(node.name, others);
    const data = { what: 'node', found: node.name, of: undefined, nearest, allowed: terminals } as const;
    for (const use of node.uses) draft.report('reference-unknown', data, use);
  }
}

/** Notes on a place that nothing else speaks of. */
function reportIdleNotes(draft: Draft, touching: ReadonlyMap<number, ReadonlySet<string>>): void {
  const real = draft.nodes.filter((node) => node.uses.length > (node.noted === undefined ? 0 : 1));
  const names = real.map((node) => node.name);
  for (const { name, index, noted, uses } of draft.nodes) {
    if (noted === undefined || uses.length > 1 || touching.has(index)) continue;
    const nearest = nearestName(name, names);
    const data = { what: 'node', found: name, of: undefined, nearest, allowed: names } as const;
    if (nearest !== undefined) draft.report('reference-unknown', data, noted, 'key');
  }
}

function partsByNode(draft: Draft): Map<number, Set<string>> {
  const touching = new Map<number, Set<string>>();
  for (const { from, to, part } of draft.branches) {
    for (const end of [from, to]) touching.set(end, (touching.get(end) ?? new Set()).add(part));
  }
  return touching;
}

/** A declared terminal that nothing else touches: no wire, no second part. */
function warnDangling(draft: Draft, touching: ReadonlyMap<number, ReadonlySet<string>>): void {
  const told = new Set<number>();
  for (const { role, from, to } of draft.branches) {
    if (role === 'wire' || role === 'source') continue;
    const loose = [from, to].filter((end) => (touching.get(end)?.size ?? 0) < 2);
    // A spare pin of a connector hangs free on both sides, and that is in order.
    if (role === 'pin' && loose.length === 2) continue;
    for (const end of loose) {
      const use: Path | undefined = (draft.nodes[end] as DraftNode | undefined)?.uses[0];
      if (told.has(end) || use === undefined) continue;
      told.add(end);
      draft.report('node-dangling', { node: draft.nodes[end]?.name ?? '', nearest: undefined }, use);
    }
  }
}
