import { cleanLine } from './clean.js';

/** A headline says what is wrong and can be read alone; help says what would be right, where that is worth a line. */
export interface Wording {
  readonly headline: string;
  readonly help?: string;
}

/** For every code of a floor, how its data are put into words. */
export type Wordings<Data> = { readonly [Code in keyof Data]: (data: Data[Code]) => Wording };

/** The most names a message lists; above that it gives their number. */
const mostListed = 8;

/** A name or value from a file inside a sentence: bare when it reads as one word or a quantity, else in quotes. */
export function named(text: string): string {
  const shown = cleanLine(text, 80);
  return /^[\p{L}\p{N}_.+/#%-]+$|^[-+.]?\d[^"]*$/u.test(shown) ? shown : `"${shown}"`;
}

export function namedAll(texts: readonly string[]): string[] {
  return texts.map(named);
}

/** "a, b and c"; the texts as they are. */
export function listed(texts: readonly string[], word: 'and' | 'or'): string {
  const last = texts.at(-1) ?? '';
  return texts.length < 2 ? last : `${texts.slice(0, -1).join(', ')} ${word} ${last}`;
}

/** "; did you mean B2.1?", or nothing. */
export function meant(nearest: string | undefined): string {
  return nearest === undefined ? '' : `; did you mean ${named(nearest)}?`;
}

/**
 * What may stand in place of a name that is wrong: all of it when it is little, else how many there are. `label` is
 * the head of the list, `things` what they are called in the plural.
 */
export function allowedHelp(label: string, things: string, allowed: readonly string[]): string | undefined {
  if (allowed.length === 0) return undefined;
  if (allowed.length <= mostListed) return `${label}: ${listed(namedAll(allowed), 'and')}.`;
  return `There are ${allowed.length} ${things} to choose from.`;
}

/** A wording whose help may be missing. */
export function worded(headline: string, help: string | undefined): Wording {
  return help === undefined ? { headline } : { headline, help };
}
