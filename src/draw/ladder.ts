import type { Circuit } from '../circuit/circuit.js';
import { type Element, listElements } from './elements.js';
import type { Rows } from './laid.js';
import { orderRows } from './rows.js';
import { findRungs } from './rungs.js';
import { findSections, type Section } from './sections.js';

/** A circuit as a ladder: every element in one place, in whatever state. */
export interface Ladder {
  readonly circuit: Circuit;
  readonly elements: readonly Element[];
  readonly sections: readonly LadderSection[];
}

export interface LadderSection extends Section {
  readonly rows: Rows;
}

/** A circuit is as it is: its ladder is found once, however many of its states are drawn. */
const found = new WeakMap<Circuit, Ladder>();

/** Rails, rungs and their order, from the wiring alone: a circuit looks the same in each of its states. */
export function findLadder(circuit: Circuit): Ladder {
  const ladder = found.get(circuit) ?? ladderOf(circuit);
  found.set(circuit, ladder);
  return ladder;
}

function ladderOf(circuit: Circuit): Ladder {
  const elements = listElements(circuit);
  const startWindings = new Map(
    circuit.actuators.flatMap((each) =>
      each.kind === 'load' && each.start !== undefined ? [[each.branch, each.start.branch] as const] : [],
    ),
  );
  const sections = findSections(circuit, elements).map((section) => ({
    ...section,
    rows: orderRows(section, findRungs(section), startWindings),
  }));
  return { circuit, elements, sections };
}
