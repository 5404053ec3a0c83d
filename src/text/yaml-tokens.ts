import { CST, Lexer, Parser } from 'yaml';
import type { YamlLimits } from './limits.js';
import type { TextProblem } from './problems.js';
import type { Source, Span } from './source.js';

export interface YamlTokens {
  readonly tokens: readonly CST.Token[];
  readonly problems: readonly TextProblem[];
  /** The part behind a token that has no place; empty when there is none. */
  readonly lost: Span;
  /** False when the text nests deeper than allowed: the tokens are then not whole. */
  readonly whole: boolean;
}

/**
 * The concrete syntax tree of a YAML text, read step by step and left as soon as it nests deeper than allowed:
 * composing a deeper one can end the whole process, which nothing can catch.
 */
export function readTokens(source: Source, text: string, limits: YamlLimits): YamlTokens {
  const parser = new Parser();
  const tokens: CST.Token[] = [];
  const lost = { start: text.length, end: text.length };
  for (const lexeme of new Lexer().lex(text)) {
    const offset = parser.offset;
    for (const token of parser.next(lexeme)) {
      if (token.type === 'error') {
        // It stands outside every document, and so would all that follows it.
        const end = Math.min(token.offset + Math.max(1, token.source.length), text.length);
        const span = { start: token.offset, end };
        const data = { detail: 'this does not belong to what stands before it' };
        tokens.push(...parser.end());
        return {
          tokens,
          problems: [{ code: 'yaml-syntax', data, at: { source, span } }],
          lost: { ...lost, start: token.offset },
          whole: true,
        };
      }
      tokens.push(token);
    }
    // An entry "[a: …" holds a map without a token of its own, so the depth is up to twice that of the stack.
    const found = parser.stack.length * 2 > limits.nesting ? depthOf(parser.stack) : 0;
    if (found > limits.nesting) {
      const data = { what: 'nesting', found, limit: limits.nesting, unit: 'levels' };
      const at = { source, span: { start: offset, end: offset + 1 } };
      return { tokens, problems: [{ code: 'limit-exceeded', data, at }], lost, whole: false };
    }
  }
  tokens.push(...parser.end());
  return { tokens, problems: [], lost, whole: true };
}

function depthOf(stack: readonly CST.Token[]): number {
  let depth = 0;
  for (const token of stack) {
    if (!CST.isCollection(token)) continue;
    depth += 1;
    if (token.type === 'flow-collection' && token.start.source === '[' && token.items.at(-1)?.sep) depth += 1;
  }
  return depth;
}
