import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { root } from './run.js';

export const hood = 'examples/range-hood/range-hood.circuit.yaml';
export const oven = 'examples/wall-oven/wall-oven.circuit.yaml';
export const noFan = 'examples/range-hood/no-fan.readings.yaml';
export const allGood = 'examples/range-hood/all-good.readings.yaml';
/** The quickest that differs, and the quickest that agrees, where any will do. */
export const lostLeg = 'examples/wall-oven/lost-leg.readings.yaml';
export const ovenGood = 'examples/wall-oven/all-good.readings.yaml';
export const lampOut = 'examples/range-hood/lamp-out.readings.csv';

/** A file of the package as text. */
export function textOf(path: string): string {
  return readFileSync(join(root, path), 'utf8');
}

export const hoodText: string = textOf(hood);
export const ovenText: string = textOf(oven);
export const noFanText: string = textOf(noFan);
export const lampOutText: string = textOf(lampOut);

const folders: readonly string[] = readdirSync(join(root, 'examples')).sort();

/** Every circuit of the examples, by the name of its folder. */
export const exampleCircuits: readonly (readonly [name: string, path: string, text: string])[] = folders.map(
  (name) => {
    const path = `examples/${name}/${name}.circuit.yaml`;
    return [name, path, textOf(path)];
  },
);

/** Those that long walks go through, one of each sort of circuit: all of them would take minutes. */
const walked = ['deck-oven', 'dryer', 'range-control', 'range-hood', 'refrigerator', 'wall-oven', 'washer'];
export const walkedCircuits: typeof exampleCircuits = exampleCircuits.filter(([name]) =>
  walked.includes(name),
);

/** Every readings file of the examples. */
export const readingsFiles: readonly string[] = folders.flatMap((folder) =>
  readdirSync(join(root, 'examples', folder))
    .filter((name) => /\.readings\.(yaml|csv)$/.test(name))
    .sort()
    .map((name) => `examples/${folder}/${name}`),
);

/** A complaint alone, which names no circuit: one speed of the hood's fan. */
export const complaint = `loadside: readings/1
symptoms:
  - { in: speed-1, load: FAN, works: yes }
  - { in: speed-2, load: FAN, works: no }
  - { in: lamp, load: LAMP, works: yes }
`;

/** A text with one passage of it exchanged, which must be there. */
export function exchanged(text: string, from: string, to: string): string {
  if (!text.includes(from)) throw new Error(`not in the text: ${from}`);
  return text.replace(from, () => to);
}

/** Where a passage of a text starts, line and column from 1. */
export function placeIn(
  text: string,
  passage: string,
  within: string = passage,
): { line: number; column: number } {
  const start = text.indexOf(passage);
  if (start === -1) throw new Error(`not in the text: ${passage}`);
  const before = text.slice(0, start + passage.indexOf(within));
  return { line: before.split('\n').length, column: before.length - before.lastIndexOf('\n') };
}
