import { Composer, Lexer, type Document as YamlDocument } from 'yaml';
import type { Document } from './document.js';
import type { YamlLimits } from './limits.js';
import { byPlace } from './problem.js';
import type { TextProblem } from './problems.js';
import type { Source } from './source.js';
import { dataOf, locateIn } from './yaml-data.js';
import { scanTokens } from './yaml-scan.js';
import { syntaxProblems } from './yaml-syntax.js';
import { readTokens } from './yaml-tokens.js';

export interface ReadYaml {
  /** Absent when any problem was found. */
  readonly document?: Document;
  readonly problems: readonly TextProblem[];
}

/**
 * Reads YAML 1.2 (core schema) into plain data with places. Keys are text; a duplicate, an alias, a tag, a merge
 * key, a second document or another YAML version is a problem, and so is everything past `limits`. Time and stack
 * are bounded for any text, and no problem holds raw text of the file in its words.
 */
export function readYaml(source: Source, limits: YamlLimits): ReadYaml {
  const early = tooLong(source, limits) ?? conflictMarker(source) ?? nothingInside(source);
  if (early !== undefined) return { problems: [early] };
  // YAML 1.2 counts a lone CR as a line end and the parser does not; LF in its place moves no offset.
  const text = source.text.replace(/\r(?!\n)/g, '\n');
  const { tokens, problems: lost, lost: behind, whole } = readTokens(source, text, limits);
  if (!whole) return { problems: lost };
  const { problems: scanned, broken } = scanTokens(source, tokens, limits);
  const refused = scanned.filter((problem) => problem.code !== 'yaml-syntax');
  if (refused.length > 0) return { problems: refused.sort(byPlace) };
  const composed = compose(tokens, text.length);
  const reported = [...(composed?.errors ?? []), ...(composed?.warnings ?? [])];
  const syntax = syntaxProblems(source, text, [...lost, ...scanned], reported, [...broken, behind]);
  if (syntax.length > 0) return { problems: syntax };
  if (composed === undefined) return { problems: [empty(source)] };
  const root = composed.contents;
  const { data, problems: inData } = dataOf(source, root, limits);
  if (inData.length > 0) return { problems: inData.sort(byPlace) };
  if (data === null) return { problems: [empty(source)] };
  const locate: Document['locate'] = (path, part) => ({ source, span: locateIn(root, path, part) });
  return { document: { source, data, locate }, problems: [] };
}

/** The tokens already read, composed once: duplicates are found in one pass of our own, not in the square of keys. */
function compose(
  tokens: Parameters<Composer['compose']>[0],
  length: number,
): YamlDocument.Parsed | undefined {
  const composer = new Composer({
    schema: 'core',
    version: '1.2',
    strict: true,
    stringKeys: true,
    uniqueKeys: false,
    merge: false,
  });
  for (const document of composer.compose(tokens, true, length)) return document;
  return undefined;
}

function tooLong(source: Source, limits: YamlLimits): TextProblem | undefined {
  if (source.text.length <= limits.bytes) return undefined;
  const data = { what: 'bytes', found: source.text.length, limit: limits.bytes, unit: 'bytes' };
  return { code: 'limit-exceeded', data, at: { source, span: { start: 0, end: 0 } } };
}

/** Two versions of a file that were never merged: every other finding in it would only follow from that. */
function conflictMarker(source: Source): TextProblem | undefined {
  const match = /(?:^|[\r\n])(<{7})(?=[ \t\r\n])/.exec(source.text);
  if (match === null) return undefined;
  const start = match.index + match[0].length - 7;
  return { code: 'yaml-conflict-marker', data: {}, at: { source, span: { start, end: start + 7 } } };
}

function nothingInside(source: Source): TextProblem | undefined {
  return source.text.trim() === '' ? empty(source) : undefined;
}

function empty(source: Source): TextProblem {
  return {
    code: 'file-empty',
    data: { expected: 'a map of keys and values' },
    at: { source, span: { start: 0, end: 0 } },
  };
}

export interface YamlComment {
  /** From its # to the end of its line. */
  readonly text: string;
  readonly start: number;
}

/** The comments of a text that can be read: what stands in texts and blocks of text is none. */
export function readComments({ text }: Source): readonly YamlComment[] {
  const comments: YamlComment[] = [];
  let start = 0;
  let isScalar = false;
  for (const lexeme of new Lexer().lex(text.replace(/\r(?!\n)/g, '\n'))) {
    // The lexer's own marks take no room: a document begins, a flow ends for an error, a text without quotes follows.
    const isMark: boolean = !isScalar && (lexeme === '\u0002' || lexeme === '\u0018' || lexeme === '\u001f');
    if (!isMark && !isScalar && lexeme.startsWith('#')) comments.push({ text: lexeme, start });
    if (!isMark) start += lexeme.length;
    isScalar = isMark && lexeme === '\u001f';
  }
  return comments;
}
