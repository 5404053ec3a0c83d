import type { Element } from './elements.js';
import type { TextRole } from './lettering.js';

/** Text on its baseline. `of` is what it belongs to. */
export interface PlacedText {
  readonly role: TextRole;
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly anchor: 'start' | 'middle' | 'end';
  /** The most it takes in any font like the one asked for. */
  readonly width: number;
  readonly of: { readonly element?: Element; readonly node?: number };
}

/** A conductor from point to point, at the potential of `node`; a wire has its element. */
export interface PlacedLine {
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  readonly node: number;
  readonly wire?: Element;
  readonly rail?: true;
}

/** A symbol in its row, `flipped` where its first node is on the right. Lines reach `symbolHalf` beside it. */
export interface PlacedSymbol {
  readonly element: Element;
  readonly x: number;
  readonly y: number;
  readonly flipped: boolean;
}

export interface PlacedNode {
  readonly node: number;
  readonly x: number;
  readonly y: number;
  /** Three lines or more, a terminal of a supply, only its name, or any other place to probe. */
  readonly kind: 'junction' | 'pole' | 'elsewhere' | 'terminal';
}

/** What an element takes with its name, for shading it. */
export interface PlacedBox {
  readonly element: Element;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** A section on paper: the left rail is at x = 0, the upper edge at y = 0. Lengths are in drawing units. */
export interface Layout {
  /** From the left rail to the right one. */
  readonly width: number;
  readonly height: number;
  /** Under each row, where it can be cut off: the last is the height. */
  readonly ends: readonly number[];
  /** How far text reaches beyond the rails. */
  readonly left: number;
  readonly right: number;
  readonly texts: readonly PlacedText[];
  readonly lines: readonly PlacedLine[];
  readonly symbols: readonly PlacedSymbol[];
  readonly nodes: readonly PlacedNode[];
  readonly boxes: readonly PlacedBox[];
  /** Where lines go on on another sheet. */
  readonly passages: readonly PlacedPassage[];
}

/** An upright that was cut off: its end, which way it goes on, and at which place it is. */
export interface PlacedPassage {
  readonly x: number;
  readonly y: number;
  readonly way: 'up' | 'down';
  readonly node: number;
}

/** Where a text begins. */
export function leftOf({ x, width, anchor }: PlacedText): number {
  return anchor === 'start' ? x : anchor === 'end' ? x - width : x - width / 2;
}
