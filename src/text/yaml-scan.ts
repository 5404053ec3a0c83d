import type { CST } from 'yaml';
import type { YamlLimits } from './limits.js';
import type { TextProblem } from './problems.js';
import { short } from './quantity.js';
import type { Source, Span } from './source.js';

export interface YamlScan {
  readonly problems: readonly TextProblem[];
  /** Places inside which the composer's findings only follow from a problem given here. */
  readonly broken: readonly Span[];
}

/** A bracket or quote without its partner: where it opens, and how far what it swallowed goes. */
interface Unclosed {
  readonly opening: string;
  readonly closing: string;
  readonly span: Span;
}

interface Scan {
  readonly source: Source;
  readonly limits: YamlLimits;
  readonly problems: TextProblem[];
  readonly broken: Span[];
  readonly unclosed: Unclosed[];
  readonly anchors: Span[];
  readonly aliases: Span[];
}

/**
 * What no file of ours may hold (aliases, tags, merge keys, other versions, several documents, too many keys) and
 * what opens without closing, found in the tokens before anything is made of them.
 */
export function scanTokens(source: Source, tokens: readonly CST.Token[], limits: YamlLimits): YamlScan {
  const scan: Scan = { source, limits, problems: [], broken: [], unclosed: [], anchors: [], aliases: [] };
  for (const token of firstDocument(scan, tokens)) visit(scan, token);
  reportReferences(scan);
  reportUnclosed(scan);
  return { problems: scan.problems, broken: scan.broken };
}

/** A second document is a problem where it starts, and is not looked into. */
function firstDocument(scan: Scan, tokens: readonly CST.Token[]): readonly CST.Token[] {
  const first = tokens.findIndex((token) => token.type === 'document');
  const second = tokens.findIndex((token, index) => index > first && token.type === 'document');
  if (first === -1 || second === -1) return tokens;
  const start = tokens[second]?.offset ?? 0;
  report(scan, { code: 'yaml-several-documents', data: {} }, { start, end: start + 3 });
  return tokens.slice(0, second);
}

/** Walks one top token and all below it with a stack of its own. */
function visit(scan: Scan, top: CST.Token): void {
  const stack: CST.Token[] = [top];
  for (let token = stack.pop(); token !== undefined; token = stack.pop()) {
    switch (token.type) {
      case 'directive':
        visitDirective(scan, token);
        break;
      case 'document':
        pushAll(stack, token.start);
        if (token.value) stack.push(token.value);
        break;
      case 'block-map':
      case 'block-seq':
      case 'flow-collection':
        visitCollection(scan, token, stack);
        break;
      case 'anchor':
        scan.anchors.push(spanOf(token));
        break;
      case 'alias':
        scan.aliases.push(spanOf(token));
        break;
      case 'tag':
        report(scan, { code: 'yaml-tag', data: { tag: short(token.source) } }, spanOf(token));
        break;
      case 'block-scalar':
        pushAll(stack, token.props);
        break;
      case 'single-quoted-scalar':
      case 'double-quoted-scalar':
        visitQuoted(scan, token);
        break;
      default:
    }
  }
}

type Collection = CST.BlockMap | CST.BlockSequence | CST.FlowCollection;

function visitCollection(scan: Scan, token: Collection, stack: CST.Token[]): void {
  if (hasTooMany(scan, token)) return;
  if (token.type === 'flow-collection') visitBrackets(scan, token);
  for (const item of token.items) {
    pushAll(stack, item.start);
    if (item.sep) pushAll(stack, item.sep);
    if (item.key?.type === 'scalar' && item.key.source === '<<') {
      // What a merge key takes in is part of the one mistake, so it is not looked into.
      report(scan, { code: 'yaml-merge-key', data: {} }, spanOf(item.key));
      continue;
    }
    if (item.key) stack.push(item.key);
    if (item.value) stack.push(item.value);
  }
}

function hasTooMany(scan: Scan, token: Collection): boolean {
  const isMap =
    token.type === 'block-map' || (token.type === 'flow-collection' && token.start.source === '{');
  const limit = isMap ? scan.limits.keysPerMap : scan.limits.itemsPerList;
  const found = token.items.length;
  if (found <= limit) return false;
  const [what, unit] = isMap ? ['keys in one map', 'keys'] : ['items', 'items'];
  report(scan, { code: 'limit-exceeded', data: { what, found, limit, unit } }, spanOf(token));
  return true;
}

function visitBrackets(scan: Scan, token: CST.FlowCollection): void {
  const opening = token.start.source;
  const closing = opening === '{' ? '}' : ']';
  if (token.end.some((end) => end.source === closing)) return;
  const last = token.end.at(-1)?.offset ?? scan.source.text.length;
  const newline = scan.source.text.indexOf('\n', last);
  const end = newline === -1 ? scan.source.text.length : newline;
  scan.unclosed.push({ opening, closing, span: { start: token.offset, end } });
}

function visitQuoted(scan: Scan, token: CST.FlowScalar): void {
  const quote = token.type === 'single-quoted-scalar' ? "'" : '"';
  // Between the quotes: for " any character behind a backslash, for ' a quote only when it is doubled.
  const body = token.source.slice(1, -1);
  const run = (quote === '"' ? /\\*$/ : /'*$/).exec(body)?.[0].length ?? 0;
  if (token.source.length > 1 && token.source.endsWith(quote) && run % 2 === 0) return;
  scan.unclosed.push({
    opening: quote,
    closing: quote,
    span: { start: token.offset, end: scan.source.text.length },
  });
}

/** Reported where it opens, since where it is missed depends on what follows; the innermost is what is open. */
function reportUnclosed(scan: Scan): void {
  const byStart = [...scan.unclosed].sort((one, other) => one.span.start - other.span.start);
  for (const [index, { opening, closing, span }] of byStart.entries()) {
    scan.broken.push(span);
    const next = byStart[index + 1];
    if (next !== undefined && next.span.start <= span.end) continue;
    const detail = `this ${opening} has no closing ${closing}`;
    report(scan, { code: 'yaml-syntax', data: { detail } }, { start: span.start, end: span.start + 1 });
  }
}

function visitDirective(scan: Scan, token: CST.Directive): void {
  const span = spanOf(token);
  const [name, version = ''] = token.source.trim().split(/[ \t]+/);
  if (name === '%YAML') {
    if (version !== '1.2') report(scan, { code: 'yaml-version', data: { found: short(version) } }, span);
  } else if (name === '%TAG') {
    report(scan, { code: 'yaml-tag', data: { tag: '%TAG' } }, span);
  } else {
    const detail = 'a line that starts with % has no use here';
    report(scan, { code: 'yaml-syntax', data: { detail } }, span);
    scan.broken.push(span);
  }
}

/** However many aliases there are, the mistake is one: these files have none. */
function reportReferences(scan: Scan): void {
  const merged = scan.problems.some((problem) => problem.code === 'yaml-merge-key');
  const first = earliest(scan.aliases) ?? (merged ? undefined : earliest(scan.anchors));
  if (first !== undefined) report(scan, { code: 'yaml-alias', data: {} }, first);
}

function earliest(spans: readonly Span[]): Span | undefined {
  let first: Span | undefined;
  for (const span of spans) if (first === undefined || span.start < first.start) first = span;
  return first;
}

type Unplaced = TextProblem extends infer P
  ? P extends TextProblem
    ? Omit<P, 'at' | 'related'>
    : never
  : never;

function report({ source, problems }: Scan, problem: Unplaced, span: Span): void {
  const end = Math.min(span.end, source.text.length);
  problems.push({ ...problem, at: { source, span: { start: span.start, end } } } as TextProblem);
}

function spanOf(token: CST.Token): Span {
  const length = 'source' in token ? Math.max(1, token.source.length) : 1;
  return { start: token.offset, end: token.offset + length };
}

function pushAll(stack: CST.Token[], tokens: readonly CST.Token[]): void {
  for (const token of tokens) stack.push(token);
}
