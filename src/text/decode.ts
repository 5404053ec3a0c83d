import { isAscii } from './ascii.js';
import type { TextProblem } from './problems.js';
import type { Source } from './source.js';

export interface Decoded {
  /** Absent when a problem was found. */
  readonly source?: Source;
  readonly problems: readonly TextProblem[];
}

/**
 * A file's bytes as text: UTF-8 only, one leading byte order mark taken off, without characters that hide or
 * reorder others or act on a terminal (each distinct one is reported once, where it first stands).
 * `mostBytes` is the limit the file must keep to.
 */
export function decode(
  name: string,
  bytes: Uint8Array,
  mostBytes: number = Number.POSITIVE_INFINITY,
): Decoded {
  if (bytes.length > mostBytes) {
    const at = { source: { name, text: '' }, span: { start: 0, end: 0 } };
    const data = { what: 'bytes', found: bytes.length, limit: mostBytes, unit: 'bytes' };
    return { problems: [{ code: 'limit-exceeded', data, at }] };
  }
  const wide = guessWide(bytes);
  if (wide !== undefined) return { problems: [encodingProblem({ name, text: '' }, wide)] };
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return {
      problems: [encodingProblem({ name, text: new TextDecoder('utf-8').decode(bytes) }, guessNarrow(bytes))],
    };
  }
  const source = { name, text };
  const problems = forbiddenCharacters(source);
  return problems.length === 0 ? { source, problems } : { problems };
}

function encodingProblem(source: Source, guess: string | undefined): TextProblem {
  const bad = source.text.indexOf('\u{FFFD}');
  const start = Math.max(0, bad);
  return {
    code: 'encoding-unknown',
    data: { guess },
    at: { source, span: { start, end: bad === -1 ? start : start + 1 } },
  };
}

/** Controls and format characters (Unicode Cc, Cf) and line separators, but for tab, LF and CR. */
function forbiddenCharacters(source: Source): TextProblem[] {
  if (isAscii(source.text)) return [];
  const forbidden = /(?![\t\n\r])[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\u{FFFE}\u{FFFF}]/gu;
  const seen = new Set<string>();
  const problems: TextProblem[] = [];
  for (const match of source.text.matchAll(forbidden)) {
    const [character] = match;
    if (seen.has(character)) continue;
    seen.add(character);
    const span = { start: match.index, end: match.index + character.length };
    problems.push({
      code: 'character-forbidden',
      data: { character: codePointName(character) },
      at: { source, span },
    });
  }
  return problems;
}

/** "U+202E": shown so, a hidden character can't act where it is reported. */
function codePointName(character: string): string {
  return `U+${(character.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}`;
}

/** UTF-16 and UTF-32, told by their byte order mark or by zero bytes in every other place. */
function guessWide(bytes: Uint8Array): string | undefined {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return bytes[2] === 0 && bytes[3] === 0 ? 'UTF-32' : 'UTF-16';
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return 'UTF-16';
  const sample = bytes.subarray(0, 1024);
  const zeros = [0, 0];
  for (let at = 0; at < sample.length; at += 1) {
    if (sample[at] === 0) zeros[at % 2] = (zeros[at % 2] ?? 0) + 1;
  }
  const [even = 0, odd = 0] = zeros;
  const most = sample.length * 0.4;
  return sample.length >= 4 && Math.max(even, odd) > most && Math.min(even, odd) === 0 ? 'UTF-16' : undefined;
}

/** One byte a character: bytes 0x80 to 0x9F are controls in Latin-1 and letters or quotes in Windows-1252. */
function guessNarrow(bytes: Uint8Array): string | undefined {
  let guess = 'Latin-1';
  for (const byte of bytes) {
    const control = byte < 0x20 && byte !== 9 && byte !== 10 && byte !== 13;
    if (control || byte === 0x7f) return undefined;
    if (byte >= 0x80 && byte < 0xa0) guess = 'Windows-1252';
  }
  return guess;
}
