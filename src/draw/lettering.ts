import type { Element } from './elements.js';
import type { Laid } from './laid.js';
import type { Pole } from './sections.js';

/** What is written beside things, worded by whoever draws. */
export interface Lettering {
  /** Above a symbol, or along a wire (its colour); may be folded at `foldPoint`. */
  readonly name: (element: Element) => string;
  /** Under a symbol, a line each; may be folded at `foldPoint`. */
  readonly notes: (element: Element) => readonly string[];
  /** A terminal beside the symbol it belongs to; undefined where it stands elsewhere. */
  readonly terminal: (node: number, element: Element) => string | undefined;
  /** Under a node, a line each: volts, readings. */
  readonly node: (node: number) => readonly string[];
  /** At the head of a rail. */
  readonly pole: (pole: Pole) => string;
  /** A place that is only named here, because no line leads to it. */
  readonly elsewhere: (node: number) => string;
  /** A place by its name: where one that is only named stands, and where a line goes on on another sheet. */
  readonly place: (node: number) => string;
  /** Right of a rung, a line each; long ones are folded. */
  readonly comment: (elements: readonly Element[]) => readonly string[];
  /** Left of a row. */
  readonly number: (laid: Laid) => string;
}

/** Where a name or a note may be broken to save width; a blank where it is not, or nothing behind a stroke. */
export const foldPoint = '\n';

export function linesOf(text: string, folded: boolean): readonly string[] {
  return folded ? text.split(foldPoint) : [text.replaceAll(`/${foldPoint}`, '/').replaceAll(foldPoint, ' ')];
}

/** All that is written beside a wire that is looped up or down: one line. */
export function loopText({ name, notes }: Lettering, wire: Element): string {
  return [name(wire), ...notes(wire)].flatMap((text) => linesOf(text, false)).join(' ');
}

export type TextRole =
  | 'name'
  | 'colour'
  | 'terminal'
  | 'node'
  | 'note'
  | 'pole'
  | 'elsewhere'
  | 'comment'
  | 'number';

/** Type sizes in drawing units. */
export const textSizes: Readonly<Record<TextRole, number>> = {
  name: 10,
  colour: 9,
  terminal: 9,
  node: 9,
  note: 9,
  pole: 12,
  elsewhere: 9,
  comment: 9,
  number: 9,
};

export function isBold(role: TextRole): boolean {
  return role === 'name' || role === 'pole';
}
