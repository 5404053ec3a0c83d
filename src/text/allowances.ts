import type { TextProblem } from './problems.js';
import { readComments, type YamlComment } from './read-yaml.js';
import type { Source, Span, Spot } from './source.js';

/** A remark that lets a finding pass: `# loadside-allow CODE -- reason`. */
export interface Allowance {
  readonly code: string;
  readonly reason: string;
  /** The code in the remark. */
  readonly at: Spot;
  /**
   * The entry it is about: its own line, or the next one where it has a line to itself, with all that is indented
   * further below. A finding stays allowed when its place within the entry moves.
   */
  readonly covers: Span;
}

const mark = 'loadside-allow';

/** The remarks of a file that can be read as YAML; files without any, nearly all, are not looked at any closer. */
export function readAllowances(source: Source): {
  readonly allowances: readonly Allowance[];
  readonly problems: readonly TextProblem[];
} {
  if (!source.text.includes(mark)) return { allowances: [], problems: [] };
  const lines = linesOf(source.text);
  const allowances: Allowance[] = [];
  const problems: TextProblem[] = [];
  for (const comment of readComments(source)) {
    const [head] = /^#+[ \t]*loadside-allow(?![\w-])/.exec(comment.text) ?? [];
    if (head === undefined) continue;
    const [, codes, reason] =
      /^[ \t:]+([\w-]+(?:[ \t]*,[ \t]*[\w-]+)*)[ \t]+--[ \t]+(\S.*)$/.exec(comment.text.slice(head.length)) ??
      [];
    if (codes === undefined || reason === undefined) {
      const span = { start: comment.start, end: comment.start + comment.text.length };
      problems.push({ code: 'allow-form', data: {}, at: { source, span } });
      continue;
    }
    const covers = entryAt(lines, comment);
    const from = comment.start + comment.text.indexOf(codes, head.length);
    for (const { 0: code, index } of codes.matchAll(/[\w-]+/g)) {
      const span = { start: from + index, end: from + index + code.length };
      allowances.push({ code, reason: reason.trim(), at: { source, span }, covers });
    }
  }
  return { allowances, problems };
}

interface Line {
  readonly start: number;
  /** Without its line end. */
  readonly text: string;
}

function linesOf(text: string): readonly Line[] {
  return [...text.matchAll(/([^\r\n]*)(?:\r\n|\r|\n|$)/g)].map(({ 1: line = '', index }) => ({
    start: index,
    text: line,
  }));
}

function entryAt(lines: readonly Line[], { start }: YamlComment): Span {
  let first = lines.findLastIndex((line) => line.start <= start);
  const own = lines[first];
  if (own !== undefined && own.text.slice(0, start - own.start).trim() === '') {
    first = lines.findIndex((line, index) => index > first && !isBlank(line));
  }
  const head = lines[first];
  if (head === undefined) return { start, end: start };
  const indent = indentOf(head);
  let last = head;
  for (const line of lines.slice(first + 1)) {
    if (isBlank(line)) continue;
    if (indentOf(line) <= indent) break;
    last = line;
  }
  return { start: head.start, end: last.start + last.text.length };
}

function isBlank({ text }: Line): boolean {
  return /^[ \t]*(?:#|$)/.test(text);
}

function indentOf({ text }: Line): number {
  return text.length - text.trimStart().length;
}
