/**
 * What a terminal, a log or a reader's eye could be tricked by: controls (C0, DEL, C1), format and direction
 * characters, zero-width and other invisible ones, line separators, lone surrogates. The emoji selector U+FE0F is
 * let through behind a pictograph, where it belongs.
 */
const hidden =
  '(?<!\\p{Extended_Pictographic})\\uFE0F|(?!\\uFE0F)[\\p{Cc}\\p{Cf}\\p{Cs}\\p{Zl}\\p{Zp}\\p{Default_Ignorable_Code_Point}\\u{FFFE}\\u{FFFF}]';

/**
 * Build-log runners obey `::name` where a line starts, blanks before it not counted, and `##[name` or `##word[name`
 * anywhere (from memory). A blank is where a long line may later be broken, so `::` behind one counts too.
 */
const command = '(?<!\\S):(?=:)|#(?=#[A-Za-z]*\\[)';

/** But for `::`, and what becomes a blank. */
const harmless = /^[\t\n\r -"$-~]*$/;

let known: RegExp | undefined;

/** Made when a text needs it: few do, and Unicode's properties take longer to load than a short answer to write. */
function unsafe(): RegExp {
  known ??= new RegExp(`${hidden}|${command}`, 'gu');
  return known;
}

/**
 * The one sanitiser for text that came from outside (file text, file names, arguments) on its way to a person.
 * Tab and line ends become blanks; whatever else could act or hide is shown as `\u{1b}`. A `::` or `##[` that a
 * build log could obey loses its first sign to an escape, so cleaned text is safe at the start of a line, also of
 * one that a wrapped sentence is broken into. Linear in the length of the text.
 */
export function clean(text: string): string {
  if (harmless.test(text) && !text.includes('::')) return text.replace(/[\t\n\r]/g, ' ');
  return text.replace(unsafe(), visible);
}

/** `clean`, cut to at most `most` UTF-16 units, the last of them an ellipsis when anything was cut. */
export function cleanLine(text: string, most: number = 200): string {
  // Cleaning never shortens, so what lies further on can't be seen.
  const shown = clean(text.slice(0, most + 1));
  if (shown.length <= most) return shown;
  // Neither a `\u{1b}` nor a surrogate pair is cut in two.
  return `${shown.slice(0, most - 1).replace(/\\u?\{?[0-9a-f]{0,6}$|[\uD800-\uDBFF]$/, '')}…`;
}

/** A blank for what sets text apart, an escape for anything else. */
function visible(character: string): string {
  if (character === '\n' || character === '\r' || character === '\t') return ' ';
  return `\\u{${(character.codePointAt(0) ?? 0).toString(16)}}`;
}

/** `clean` for each character of a text, to keep count of places: pairs of the character and what stands for it. */
export function cleanEach(text: string): (readonly [character: string, shown: string])[] {
  const replaced = new Map<number, string>();
  for (const match of text.matchAll(unsafe())) replaced.set(match.index, visible(match[0]));
  const pairs: (readonly [string, string])[] = [];
  let offset = 0;
  for (const character of text) {
    pairs.push([character, replaced.get(offset) ?? character]);
    offset += character.length;
  }
  return pairs;
}

/** Signs of the trade and of print, as people type them without. */
const typed: Readonly<Record<string, string>> = {
  '\u03A9': 'ohm',
  '\u2126': 'ohm',
  '\u00B5': 'u',
  '\u03BC': 'u',
  '\u00B0': 'deg',
  '\u00B1': '+/-',
  '\u00B2': '2',
  '\u00D7': 'x',
  '\u2013': '-',
  '\u2014': '-',
  '\u2018': "'",
  '\u2019': "'",
  '\u201C': '"',
  '\u201D': '"',
  '\u2026': '...',
  '\u2192': '->',
  '\u2212': '-',
  '\u2260': '!=',
  '\u25CB': 'o',
  '\u25CF': '*',
  '\u25D0': '?',
};

/** For terminals that know ASCII only: usual signs as people type them, any other character as `\u{e9}`. */
export function asciiOnly(text: string): string {
  return text.replace(/[\u{80}-\u{10FFFF}]/gu, (character) => typed[character] ?? visible(character));
}
