/** Columns a text takes on a terminal: two for a wide character, none for a combining one. */
export function columnsOf(text: string): number {
  if (/^[\x20-\x7e]*$/.test(text)) return text.length;
  // Scripts and pictures that take two columns of a terminal (Unicode UAX #11, the wide blocks; from memory).
  const wide =
    /[\u{1100}-\u{115F}\u{2E80}-\u{303E}\u{3041}-\u{A4CF}\u{AC00}-\u{D7A3}\u{F900}-\u{FAFF}\u{FE30}-\u{FE6F}\u{FF01}-\u{FF60}\u{FFE0}-\u{FFE6}\u{1F300}-\u{1F64F}\u{1F680}-\u{1F6FF}\u{1F900}-\u{1F9FF}\u{20000}-\u{3FFFD}]|\p{Emoji_Presentation}/u;
  // Marks that stand on the character before them.
  const combining = /[\p{Mn}\p{Me}]/u;
  let columns = 0;
  for (const character of text) columns += combining.test(character) ? 0 : wide.test(character) ? 2 : 1;
  return columns;
}

/** Breaks a sentence at its blanks into lines of at most `width` columns; a longer word gets a line of its own. */
export function wrapped(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && columnsOf(line) + 1 + columnsOf(word) > width) {
      lines.push(line);
      line = word;
    } else {
      line = line === '' ? word : `${line} ${word}`;
    }
  }
  return [...lines, line];
}

/** The same as one text. */
export function fold(text: string, { width }: { readonly width: number }): string {
  return wrapped(text, width).join('\n');
}
