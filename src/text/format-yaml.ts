import { Lexer } from 'yaml';

/**
 * The text of a YAML file in the one layout of ours, line for line: two blanks a level, lists set in below their key,
 * `{ a: b }` and `[a, b]`, one blank behind a colon, a comma and before a comment, at most one empty line, none at
 * either end. Comments, line breaks, the order of keys, quotes and the spelling of values are the writer's and stay. Line
 * ends stay CRLF where the first one is; a byte order mark goes. Given its own answer it gives the same again.
 *
 * For files that `readYaml` reads: what that refuses (tags, anchors, `? ` keys) is not looked for.
 */
export function formatYaml(text: string): string {
  const isCrlf = /^[^\r\n]*\r\n/.test(text);
  const lines = linesOf(text.replace(/^\u{feff}/u, '').replace(/\r\n?/g, '\n'));
  const layout = new Layout();
  for (const line of lines) layout.take(line);
  const formatted = layout.finish();
  return isCrlf ? formatted.replaceAll('\n', '\r\n') : formatted;
}

/** A word, a sign or a comment of the text, with the column it starts at. A word may run over several lines. */
interface Piece {
  readonly kind: 'word' | 'sign' | 'comment' | 'body' | 'marker';
  readonly text: string;
  readonly column: number;
}

type Line = readonly Piece[];

/** Characters with which the lexer marks what comes next: a document, a plain word. */
const mark = { document: '\u{2}', word: '\u{1f}' } as const;

function linesOf(text: string): readonly Line[] {
  const lines: Piece[][] = [];
  let line: Piece[] = [];
  let column = 0;
  let isWord = false;
  let hasHead = false;
  const endLine = () => {
    lines.push(line);
    line = [];
    column = 0;
  };
  for (const lexeme of new Lexer().lex(text)) {
    if (lexeme === mark.document) continue;
    if (lexeme === mark.word) {
      isWord = true;
    } else if (isWord && hasHead) {
      lines.at(-1)?.push({ kind: 'body', text: lexeme, column });
      isWord = false;
      hasHead = false;
    } else if (lexeme === '\n' && !isWord) endLine();
    else {
      const kind = kindOf(lexeme, isWord);
      if (kind !== undefined) line.push({ kind, text: lexeme, column });
      column += lexeme.length;
      hasHead ||= kind === 'sign' && /^[|>]/.test(lexeme);
      isWord = false;
    }
  }
  if (line.length > 0) endLine();
  return lines;
}

/** Undefined for blanks, and for the empty word that stands where a value is missing. */
function kindOf(lexeme: string, isWord: boolean): Piece['kind'] | undefined {
  if (isWord) return lexeme === '' ? undefined : 'word';
  if (/^[ \t]*$/.test(lexeme)) return undefined;
  if (lexeme.startsWith('#')) return 'comment';
  if (lexeme === '---' || lexeme === '...' || lexeme.startsWith('%')) return 'marker';
  return /^["']/.test(lexeme) ? 'word' : 'sign';
}

/** A list or map that is open: the column its entries have, and the one they get. */
interface Level extends Place {
  readonly isList: boolean;
}

const step = 2;

/** Lays out one line after the other. Comments wait for the next line, for it says which level they belong to. */
class Layout {
  private readonly out: string[] = [];
  private levels: Level[] = [];
  private waiting: Line[] = [];
  private depth = 0;
  /** What goes on below the line at hand is set in this far. */
  private base = 0;
  /** Comments that wait are set in no further: below a `|` they would become part of its text. */
  private most = Number.POSITIVE_INFINITY;
  /** The level the value at hand belongs to. */
  private owner: Level | undefined;

  take(given: Line): void {
    const line = given.filter((piece, index) => !isIdleComma(piece, given[index + 1]));
    const [first] = line;
    if (first === undefined || (first.kind === 'comment' && this.depth === 0)) this.waiting.push(line);
    else if (this.depth > 0) this.flowLine(line);
    else this.blockLine(line, first);
  }

  finish(): string {
    this.flush(this.levels, { column: 0, at: 0 });
    while (this.out.at(-1) === '') this.out.pop();
    return `${this.out.join('\n')}\n`;
  }

  private blockLine(line: Line, first: Piece): void {
    const before = [...this.levels];
    if (first.kind === 'marker') {
      this.levels = [];
      this.flush(before, { column: 0, at: 0 });
      this.out.push(this.joined(line));
      return;
    }
    const dashes = line.findIndex((piece) => !isDash(piece));
    const starts = (dashes === -1 ? line : line.slice(0, dashes + 1)).filter(
      ({ kind }) => kind !== 'comment',
    );
    const [at = 0] = starts.map((piece) => this.place(piece.column, isDash(piece)));
    this.flush(before, { column: first.column, at });
    const colon = line[dashes + 1];
    const isKey = dashes !== -1 && colon !== undefined && isSign(colon, ':');
    this.owner = this.levels.at(isKey ? -1 : -2);
    this.base = (this.owner?.at ?? -step) + step;
    this.emit(at, line);
  }

  /** Where an entry that stood at `column` goes. */
  private place(column: number, isList: boolean): number {
    while ((this.levels.at(-1)?.column ?? -1) > column) this.levels.pop();
    const same = this.levels.at(-1);
    if (same?.column === column && same.isList && !isList) this.levels.pop();
    const top = this.levels.at(-1);
    if (top?.column === column && top.isList === isList) return top.at;
    const at = top === undefined ? 0 : top.at + step;
    this.levels.push({ column, at, isList });
    return at;
  }

  private flowLine(line: Line): void {
    this.flush([], undefined);
    const closing = line.findIndex((piece) => !isCloser(piece));
    const closed = closing === -1 ? line.length : closing;
    this.emit(this.base + step * (this.depth - Math.min(closed, this.depth)), line);
  }

  private emit(at: number, line: Line): void {
    const text = this.joined(line);
    const last = line.at(-1);
    this.out.push(`${' '.repeat(at)}${text}`);
    this.most = last?.kind === 'body' ? this.base - step : Number.POSITIVE_INFINITY;
    if (last?.kind === 'body') this.out.push(...this.bodyLines(last.text, line));
  }

  /** The pieces of a line with the blanks that belong between them; brackets are counted on the way. */
  private joined(line: Line): string {
    let text = '';
    let before: Piece | undefined;
    for (const piece of line) {
      if (piece.kind === 'body') break;
      if (isCloser(piece)) this.depth -= 1;
      const gap = before === undefined || !isApart(before, piece) ? '' : ' ';
      text += gap + (piece.kind === 'word' ? this.wordLines(piece.text) : piece.text);
      if (isOpener(piece)) this.depth += 1;
      before = piece;
    }
    return text.trimEnd();
  }

  /** The lines of a word that goes on below: what they are set in by, and blanks at their ends, mean nothing in YAML. */
  private wordLines(text: string): string {
    const at = ' '.repeat(this.base + step * this.depth);
    return text.replace(
      /[ \t]*\n[ \t]*/g,
      (gap, offset: number) =>
        // An escaped blank at the end of a line in double quotes is one that counts.
        `${text[offset - 1] === '\\' ? gap.slice(0, gap.indexOf('\n')) : ''}\n${text[offset + gap.length] === '\n' ? '' : at}`,
    );
  }

  /** Text below a `|` or `>`, moved as a whole; where its head says how far it is set in, by so much. */
  private bodyLines(body: string, line: Line): readonly string[] {
    const lines = body.replace(/\n$/, '').split('\n');
    const head = line.find(({ kind, text }) => kind === 'sign' && /^[|>]/.test(text))?.text ?? '';
    const stated = Number(/[1-9]/.exec(head)?.[0] ?? 0);
    const first = lines.find((each) => each.trim() !== '') ?? '';
    const from = stated > 0 ? (this.owner?.column ?? 0) + stated : first.length - first.trimStart().length;
    const at = ' '.repeat(stated > 0 ? this.base - step + stated : this.base);
    return lines.map((each) => (each.trim() === '' && each.length <= from ? '' : at + each.slice(from)));
  }

  /** The comments and empty lines before a line, set in like it or like the level they stood at. */
  private flush(before: readonly Level[], next: Place | undefined): void {
    for (const [comment] of this.waiting) {
      if (comment === undefined) {
        if (this.out.length > 0 && this.out.at(-1) !== '') this.out.push('');
        continue;
      }
      const best =
        comment.column === next?.column ? next : deepest(comment.column, next ? [next, ...before] : before);
      this.out.push(`${' '.repeat(Math.min(best?.at ?? 0, this.most))}${comment.text.trimEnd()}`);
    }
    this.waiting = [];
  }
}

interface Place {
  readonly column: number;
  readonly at: number;
}

/** Of the levels that begin no further right than a column the one that begins furthest right, the last of several. */
function deepest(column: number, levels: readonly Place[]): Place | undefined {
  return levels.reduce<Place | undefined>(
    (found, level) => (level.column <= column && level.column >= (found?.column ?? 0) ? level : found),
    undefined,
  );
}

function isSign(piece: Piece, text: string): boolean {
  return piece.kind === 'sign' && piece.text === text;
}

function isDash(piece: Piece): boolean {
  return isSign(piece, '-');
}

function isOpener(piece: Piece): boolean {
  return isSign(piece, '{') || isSign(piece, '[');
}

function isCloser(piece: Piece): boolean {
  return isSign(piece, '}') || isSign(piece, ']');
}

/** A comma behind the last entry, where the bracket closes on the same line. */
function isIdleComma(piece: Piece, next: Piece | undefined): boolean {
  return isSign(piece, ',') && next !== undefined && isCloser(next);
}

/** Whether a blank stands between two neighbours on a line. */
function isApart(before: Piece, piece: Piece): boolean {
  if (piece.kind === 'comment') return true;
  if (isSign(piece, ',') || isSign(piece, ':') || isSign(piece, ']') || isSign(before, '[')) return false;
  return !(isSign(before, '{') && isSign(piece, '}'));
}
