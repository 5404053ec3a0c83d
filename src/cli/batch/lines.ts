/** One line of a stream: its bytes, or how many they are where they are more than may be kept. */
export interface Line {
  /** From 1; empty lines count, and are left out. */
  readonly number: number;
  readonly bytes: Uint8Array;
  /** The whole length, of a line of which only the start was kept. */
  readonly tooLong?: number;
}

const lf = 0x0a;
const blank = /^[ \t\r]*$/;

/**
 * Cuts a stream at its line ends; what a chunk of it completes comes together. Beside that no more than the start of one
 * line, of `most` bytes, is kept.
 */
export async function* linesOf(
  chunks: AsyncIterable<Uint8Array>,
  most: number,
): AsyncGenerator<readonly Line[]> {
  let number = 1;
  let pieces: Uint8Array[] = [];
  let length = 0;
  const take = (piece: Uint8Array): void => {
    // Of what is too long the start is enough to be told by.
    if (length <= most) pieces.push(piece.slice(0, most + 1 - length));
    length += piece.length;
  };
  const cut = (): Line[] => {
    const bytes = joined(pieces);
    const line = length > most ? { number, bytes, tooLong: length } : { number, bytes };
    pieces = [];
    length = 0;
    number += 1;
    return isBlank(bytes) ? [] : [line];
  };
  for await (const chunk of chunks) {
    let from = 0;
    const lines: Line[] = [];
    for (let at = chunk.indexOf(lf); at !== -1; at = chunk.indexOf(lf, from)) {
      take(chunk.subarray(from, at));
      lines.push(...cut());
      from = at + 1;
    }
    if (from < chunk.length) take(chunk.subarray(from));
    if (lines.length > 0) yield lines;
  }
  const last = cut();
  if (last.length > 0) yield last;
}

function joined(pieces: readonly Uint8Array[]): Uint8Array {
  const [only] = pieces;
  if (only !== undefined && pieces.length === 1) return only;
  const whole = new Uint8Array(pieces.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}

function isBlank(bytes: Uint8Array): boolean {
  return bytes.length < 100 && blank.test(String.fromCharCode(...bytes));
}
