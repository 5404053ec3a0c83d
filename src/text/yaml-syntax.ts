import type { YAMLError } from 'yaml';
import type { TextProblem } from './problems.js';
import type { Source, Span } from './source.js';

type SyntaxCode = YAMLError['code'];

/** What went wrong by the parser's code, in our own words: its messages can hold raw text of the file. */
const phrases: Readonly<Record<SyntaxCode, string>> = {
  ALIAS_PROPS: 'an alias takes no anchor or tag',
  BAD_ALIAS: 'a plain text may not start with * or &: put it in quotes',
  BAD_COLLECTION_TYPE: 'the tag does not fit the value',
  BAD_DIRECTIVE: 'a line that starts with % has no use here',
  BAD_DQ_ESCAPE:
    'this \\ sequence is not known between " quotes: write \\\\ for a backslash, or use \' quotes',
  BAD_INDENT: 'the indentation does not line up with the lines above',
  BAD_PROP_ORDER: 'an anchor or tag stands in the wrong place',
  BAD_SCALAR_START: 'a plain text may not start with this character: put it in quotes',
  BLOCK_AS_IMPLICIT_KEY: 'this value is followed by another key',
  BLOCK_IN_FLOW: 'a comma is missing between { } or [ ], or an indented map stands inside them',
  DUPLICATE_KEY: 'this key stands twice in one map',
  IMPOSSIBLE: 'this can not be read',
  KEY_OVER_1024_CHARS: 'a key may have at most 1024 characters before its colon',
  MISSING_CHAR: 'a "key: value" or a "- " is missing here',
  MULTILINE_IMPLICIT_KEY: 'this line has no "key: value"',
  MULTIPLE_ANCHORS: 'a value takes one anchor',
  MULTIPLE_DOCS: 'a file holds one document',
  MULTIPLE_TAGS: 'a value takes one tag',
  NON_STRING_KEY: 'a key must be text',
  RESOURCE_EXHAUSTION: 'this is nested too deeply',
  TAB_AS_INDENT: 'lines are indented with spaces, never with tabs',
  TAG_RESOLVE_FAILED: 'the tag is not known',
  UNEXPECTED_TOKEN: 'this is not expected here',
};

/**
 * One problem for one mistake: `found` and the composer's errors, but for errors inside a broken place, and of what is
 * left on one line only the first, as the others mostly follow from it. `text` is the source's with LF for a lone CR.
 */
export function syntaxProblems(
  source: Source,
  text: string,
  found: readonly TextProblem[],
  errors: readonly YAMLError[],
  broken: readonly Span[],
): TextProblem[] {
  const candidates = [
    ...found.map((problem) => ({ start: problem.at.span.start, problem })),
    ...outside(errors, broken).map((error) => ({ start: error.pos[0], error })),
  ];
  candidates.sort((one, other) => one.start - other.start);
  const header = headerLength(text);
  const kept: TextProblem[] = [];
  let doneUntil = -1;
  let unsureUntil = -1;
  for (const candidate of candidates) {
    const { start } = candidate;
    const structural = 'error' in candidate && structure.has(candidate.error.code);
    if (start <= doneUntil || (structural && start < unsureUntil && isVague(text, candidate.error))) continue;
    doneUntil = lineEnd(text, start);
    if (structural && start >= unsureUntil) unsureUntil = nextSection(text, start);
    kept.push('problem' in candidate ? candidate.problem : problemOf(source, text, candidate.error, header));
  }
  return kept;
}

/** Findings about which line belongs to which. */
const structure: ReadonlySet<SyntaxCode> = new Set([
  'BAD_INDENT',
  'BLOCK_AS_IMPLICIT_KEY',
  'MISSING_CHAR',
  'MULTILINE_IMPLICIT_KEY',
  'NON_STRING_KEY',
  'UNEXPECTED_TOKEN',
]);

/**
 * Whether a structural finding may only follow from one before it: a key without its colon puts every line of its
 * section out of place. Not so where the line itself shows what is wrong.
 */
function isVague(text: string, { code, pos: [start] }: YAMLError): boolean {
  const line = lineFrom(text, start);
  if (code === 'BLOCK_AS_IMPLICIT_KEY' && secondKey.test(line)) return !behindKey.test(lineUpTo(text, start));
  return !spaceMissing.test(line);
}

/** The next line with text at its very start, where a new section begins whatever happened above. */
function nextSection(text: string, start: number): number {
  const section = /\n(?=[^\s#-])/g;
  section.lastIndex = start;
  return section.exec(text)?.index ?? text.length;
}

function outside(errors: readonly YAMLError[], broken: readonly Span[]): YAMLError[] {
  const spans = [...broken].sort((one, other) => one.start - other.start);
  let next = 0;
  let brokenUntil = -1;
  return [...errors]
    .sort((one, other) => one.pos[0] - other.pos[0])
    .filter(({ pos: [start] }) => {
      for (let span = spans[next]; span !== undefined && span.start <= start; span = spans[next]) {
        brokenUntil = Math.max(brokenUntil, span.end);
        next += 1;
      }
      return start > brokenUntil;
    });
}

/** How far directives go, with comments and empty lines among them; 0 when there are none. */
function headerLength(text: string): number {
  const [header = ''] = /^(?:[%#][^\n]*\n|[ \t\r]*\n)*/.exec(text) ?? [];
  return header.includes('%') ? header.length : 0;
}

function problemOf(source: Source, text: string, error: YAMLError, header: number): TextProblem {
  const start = Math.min(error.pos[0], text.length);
  const end = Math.max(start, Math.min(Math.max(error.pos[1], start + 1), lineEnd(text, start)));
  const at = { source, span: { start, end } };
  if (error.code === 'NON_STRING_KEY') {
    const found = text[start] === '[' || text[start] === '-' ? 'a list' : 'a map';
    return { code: 'yaml-key-kind', data: { found }, at };
  }
  return { code: 'yaml-syntax', data: { detail: detailOf(text, start, error.code, header) }, at };
}

/** "key:value" */
const spaceMissing = /^[\w.-]+:[^\s/]/;

/** "value: more", at the value of a line that began with a key. */
const secondKey = /^[^\s#-][^#]*:(?:\s|$)/;

/** "  key: ", up to the value of a line. */
const behindKey = /^[\s-]*[\w.-]+:\s+$/;

/** Characters of a line looked at to tell mistakes apart. */
const longestLooked = 200;

function lineFrom(text: string, start: number): string {
  return text.slice(start, Math.min(lineEnd(text, start), start + longestLooked));
}

/** Some codes stand for several mistakes people make; the text at the place tells which. */
function detailOf(text: string, start: number, code: SyntaxCode, header: number): string {
  const line = lineFrom(text, start);
  if (code === 'MULTILINE_IMPLICIT_KEY' || code === 'MISSING_CHAR') {
    if (spaceMissing.test(line)) return 'a space is missing behind the colon';
    if (line.startsWith('#')) return 'a space is missing before the comment';
    if (code === 'MISSING_CHAR' && /^[\w.-]+\s*$/.test(line)) return phrases.MULTILINE_IMPLICIT_KEY;
  }
  if (code === 'BLOCK_AS_IMPLICIT_KEY') {
    return secondKey.test(line)
      ? 'a second "key: value" on one line: start a new line, or put the text in quotes'
      : 'the next line is indented deeper, but this line already has its value';
  }
  if (code === 'MISSING_CHAR' && header > 0 && start === header) {
    return 'a line --- is missing behind the line that starts with %';
  }
  if (code === 'MISSING_CHAR' && insideBrackets(text, start)) return 'a comma is missing';
  return phrases[code] ?? phrases.IMPOSSIBLE;
}

function insideBrackets(text: string, start: number): boolean {
  return /[[{,]/.test(lineUpTo(text, start));
}

function lineUpTo(text: string, start: number): string {
  const lineStart = text.lastIndexOf('\n', start - 1) + 1;
  return text.slice(Math.max(lineStart, start - longestLooked), start);
}

function lineEnd(text: string, from: number): number {
  const end = text.indexOf('\n', from);
  return end === -1 ? text.length : end;
}
