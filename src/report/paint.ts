import { Chalk } from 'chalk';

export type PaintLevel = 0 | 1;

/** Colour by what a text is for; it never carries meaning alone, so every role must read as well without. */
export interface Paint {
  readonly bad: (text: string) => string;
  readonly good: (text: string) => string;
  readonly warn: (text: string) => string;
  readonly strong: (text: string) => string;
  readonly faint: (text: string) => string;
}

const plain: Paint = { bad: same, good: same, warn: same, strong: same, faint: same };

function same(text: string): string {
  return text;
}

let coloured: Paint | undefined;

/** The roles for a terminal without colour (0) or with the basic sixteen (1), which of the two the caller found out. */
export function paintFor(level: PaintLevel): Paint {
  if (level === 0) return plain;
  if (coloured === undefined) {
    const chalk = new Chalk({ level });
    coloured = {
      bad: (text) => chalk.red(text),
      good: (text) => chalk.green(text),
      warn: (text) => chalk.yellow(text),
      strong: (text) => chalk.bold(text),
      faint: (text) => chalk.dim(text),
    };
  }
  return coloured;
}
