/**
 * Advance widths of Helvetica in thousandths of the type size, characters 32 to 126: Adobe's font metrics for the
 * standard 14 PDF fonts (Helvetica.afm), from memory; Arial and Liberation Sans were made to the same widths.
 */
const plain: readonly number[] = [
  278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556,
  556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278,
  500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469,
  556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500,
  278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];

/** Fonts that stand in for the one asked for run wider: room for them, and for bold. */
const margin = { plain: 1.08, bold: 1.16 } as const;

/** Widths of what is not ASCII: as wide as an em where nothing is known. */
const widest = 1000;

/** The most a text takes, in the unit of its size. */
export function textWidth(text: string, size: number, bold: boolean = false): number {
  let sum = 0;
  for (const character of text) sum += plain[(character.codePointAt(0) ?? 0) - 32] ?? widest;
  return (sum / 1000) * size * (bold ? margin.bold : margin.plain);
}

/** A text in lines no wider than this, broken between words; one longer word stands alone. */
export function foldText(text: string, size: number, width: number): readonly string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const joined = lines.length === 0 ? word : `${lines.at(-1)} ${word}`;
    if (lines.length > 0 && textWidth(joined, size) > width) lines.push(word);
    else lines.splice(-1, 1, joined);
  }
  return lines;
}
