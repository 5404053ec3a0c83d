import type { TerminalStyle } from '../show-problem.js';

/**
 * A document for people, once: what is written as HTML, Markdown or plain text says the same, for all three are made of
 * this. Texts are as they came; whoever writes them out cleans and escapes them for where they go.
 */
export interface Paper {
  readonly title: string;
  readonly blocks: readonly Block[];
}

export type Block =
  | { readonly kind: 'heading'; readonly text: string }
  | { readonly kind: 'paragraph'; readonly text: string; readonly role?: 'danger' | 'conclusion' | 'small' }
  | { readonly kind: 'list'; readonly items: readonly string[] }
  /** Things to tick off, in the order they are done. */
  | { readonly kind: 'ticks'; readonly items: readonly string[] }
  /** Fields to fill in; one that is known has its value. */
  | { readonly kind: 'form'; readonly fields: readonly Field[] }
  | Table
  | Figure
  /** What follows starts on a sheet of its own. */
  | { readonly kind: 'page' };

export interface Field {
  readonly label: string;
  readonly value?: string;
  /** Across the page: one line, or room for a sentence or two. */
  readonly room?: 'row' | 'lines';
}

export interface Table {
  readonly kind: 'table';
  readonly columns: readonly Column[];
  readonly groups: readonly RowGroup[];
}

/** Rows that belong together, under a line that says why. */
export interface RowGroup {
  readonly caption?: string;
  readonly rows: readonly (readonly Cell[])[];
}

export interface Column {
  readonly head: string;
  /** Percent of the width on paper. */
  readonly width?: number;
  /** Gives way where a terminal is too narrow. */
  readonly wraps?: true;
}

/** A text, or a box for a pen with what is printed in it already (a unit). */
export type Cell = string | { readonly box: string };

/** A picture on sheets, or one among the text, and the same in lines of text for a terminal so many columns wide, in ASCII where it knows no more. `svgs` come from our own drawing, never from a file. */
export interface Figure {
  readonly kind: 'figure';
  readonly caption: string;
  readonly svgs: readonly string[];
  /** Each picture has a printed page to itself, which lies this way. */
  readonly page?: 'wide' | 'tall';
  readonly lines: (style: Pick<TerminalStyle, 'width' | 'ascii'>) => readonly string[];
}
