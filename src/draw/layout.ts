import { placeAcross } from './across.js';
import { letterRows } from './cells.js';
import { placeDown } from './down.js';
import type { LadderSection } from './ladder.js';
import type { Lettering } from './lettering.js';
import { Painter } from './painter.js';
import type { Layout } from './placed.js';

/**
 * Puts a section on paper. `width` is the least between its rails. Names are folded to keep it narrow, but in the rows
 * where that saves no width.
 */
export function layOut(section: LadderSection, lettering: Lettering, width: number): Layout {
  const unfolded = new Set<number>();
  const lay = () => {
    const rows = letterRows(section, lettering, (row) => !unfolded.has(row));
    return { rows, across: placeAcross(section, rows, lettering, width) };
  };
  let laid = lay();
  for (const row of section.rows.keys()) {
    unfolded.add(row);
    const tried = lay();
    if (tried.across.width > laid.across.width + 1e-6) unfolded.delete(row);
    else laid = tried;
  }
  const down = placeDown(section, laid.rows);
  return new Painter(section, lettering, laid.across, down).paint(laid.rows);
}
