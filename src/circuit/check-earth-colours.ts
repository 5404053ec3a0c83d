import type { Raw } from '../text/text.js';
import type { Draft } from './draft.js';

/** Green, green with yellow, and bare are for protective earth alone (IEC 60446 and US practice, from memory). */
const earthColour =
  /^(?:green|grn|gn|bare|gnye|(?:green|grn)[ /-]?(?:yellow|yel)|(?:yellow|yel)[ /-]?(?:green|grn))$/i;

/** A wire in an earth colour that ends at anything but earth: warned of, for hands trust that colour. */
export function checkEarthColours(draft: Draft, wires: readonly Raw.Wire[]): void {
  const working = new Set<number>();
  for (const { role, name, from, to } of draft.branches) {
    if (role === 'wire' || role === 'pin' || (role === 'source' && name.endsWith('.earth'))) continue;
    working.add(from).add(to);
  }
  for (const [index, wire] of wires.entries()) {
    if (wire?.colour === undefined) continue;
    const { colour, from, to, id } = wire;
    if (!earthColour.test(colour.trim())) continue;
    const ends = [from, to].map((end) => draft.nodeByName.get(end) ?? -1);
    if (!ends.some((end) => working.has(end))) continue;
    draft.report('earth-colour', { wire: id ?? `${from}-${to}`, colour }, ['wires', index, 'colour']);
  }
}
