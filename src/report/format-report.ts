import { clean } from './clean.js';
import { fold } from './columns.js';
import { count } from './number.js';
import type { TerminalStyle } from './show-problem.js';

/** What became of a file that was to be laid out. */
export interface LaidOut {
  readonly path: string;
  readonly verdict: 'formatted' | 'not-formatted' | 'rewritten' | 'unusable';
}

const words = {
  'not-formatted': 'is laid out otherwise',
  rewritten: 'rewritten',
  unusable: 'left as it is, for it has errors or can not be read',
} as const;

/** The files with something to say of, and a count. */
export function formatTable(files: readonly LaidOut[], style: TerminalStyle): string {
  const told = files.flatMap(({ path, verdict }) =>
    verdict === 'formatted' ? [] : [`${clean(path)}: ${words[verdict]}.`],
  );
  const right = files.filter(({ verdict }) => verdict === 'formatted').length;
  const foot = `${count(files.length, 'file')}, ${right} in the one layout already.`;
  return `${[...told, foot].map((line) => fold(line, style)).join('\n')}\n`;
}

/** The `format` answer of schemas/report.schema.json for files in place. */
export function formatJson(files: readonly LaidOut[]): Readonly<Record<string, unknown>> {
  return { laidOut: files.map(({ path, verdict }) => ({ path, verdict })) };
}
