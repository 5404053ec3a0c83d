import type { YamlLimits } from './limits.js';

/** UTF-16 units that mean something to the everyday readers. */
export const unit = {
  lf: 0x0a,
  cr: 0x0d,
  space: 0x20,
  quote: 0x22,
  hash: 0x23,
  apostrophe: 0x27,
  comma: 0x2c,
  dash: 0x2d,
  dot: 0x2e,
  colon: 0x3a,
  openList: 0x5b,
  closeList: 0x5d,
  openMap: 0x7b,
  closeMap: 0x7d,
} as const;

/** Besides letters, digits and what lies beyond ASCII; YAML gives most others a meaning at the start of a text. */
const plainStarts = '_+/()$=^;~';

/**
 * A place in a text, and what can be read there: blanks, comments, texts plain and in quotes. At the first thing
 * outside the everyday subset it gives up: it then stands behind the end of the text, where every loop stops.
 */
export class EverydayCursor {
  readonly text: string;
  /** Offset of what is read next. */
  at = 0;
  /** Offset where the key or value read last ends. */
  end = 0;
  /** Brackets open around what is read next. */
  flowDepth = 0;
  gaveUp = false;
  private readonly longest: number;

  constructor(text: string, limits: YamlLimits) {
    this.text = text;
    this.longest = limits.textLength;
  }

  giveUp(): void {
    this.gaveUp = true;
    this.at = this.text.length;
  }

  /** The unit that is read next; NaN behind the end, which no comparison holds for. */
  next(): number {
    return this.text.charCodeAt(this.at);
  }

  /** A colon or dash with blank behind it, as YAML wants it. */
  isAtMark(mark: number): boolean {
    return this.next() === mark && isBlank(this.text.charCodeAt(this.at + 1));
  }

  isAtQuote(): boolean {
    const next = this.next();
    return next === unit.quote || next === unit.apostrophe;
  }

  skipSpaces(): void {
    while (this.next() === unit.space) this.at += 1;
  }

  /**
   * Past blanks, comments and line ends. Gives the start of the line it comes to, or `lineStart` when that is the
   * line it was on. In a flow a comment at the very start of a line is left to the full reader, which refuses some.
   */
  toContent(lineStart: number): number {
    const { text } = this;
    let from = lineStart;
    for (let { at } = this; ; ) {
      const next = text.charCodeAt(at);
      if (next === unit.space || next === unit.cr) {
        at += 1;
      } else if (next === unit.lf) {
        at += 1;
        from = at;
      } else if (next === unit.hash && this.startsComment(at, from)) {
        const end = text.indexOf('\n', at);
        at = end === -1 ? text.length : end;
      } else {
        this.at = at;
        return from;
      }
    }
  }

  private startsComment(at: number, lineStart: number): boolean {
    return at === lineStart ? this.flowDepth === 0 : this.text.charCodeAt(at - 1) === unit.space;
  }

  /** A text in quotes: on one line and without a backslash. */
  quoted(): string {
    const { text } = this;
    const isSingle = this.next() === unit.apostrophe;
    const mark = isSingle ? "'" : '"';
    let end = text.indexOf(mark, this.at + 1);
    while (isSingle && end !== -1 && text.charCodeAt(end + 1) === unit.apostrophe) {
      end = text.indexOf(mark, end + 2);
    }
    if (end === -1) return this.noText();
    const body = text.slice(this.at + 1, end);
    if (body.includes('\n') || (!isSingle && body.includes('\\'))) return this.noText();
    return this.textUpTo(end + 1, isSingle ? body.replaceAll("''", "'") : body);
  }

  /** A text without quotes, up to a comment, ": ", the end of its line, or in a flow a comma or bracket. */
  plain(): string {
    const { text, at: start } = this;
    const isInFlow = this.flowDepth > 0;
    if (!startsPlain(text.charCodeAt(start), text.charCodeAt(start + 1))) return this.noText();
    let end = start;
    for (let at = start; ; at += 1) {
      const next = text.charCodeAt(at);
      if (next === unit.space) continue;
      if (isBlank(next) || (isInFlow && isFlowMark(next))) break;
      if (next === unit.hash && text.charCodeAt(at - 1) === unit.space) break;
      if (next === unit.colon) {
        const behind = text.charCodeAt(at + 1);
        if (isBlank(behind) || (isInFlow && isFlowMark(behind))) break;
      }
      end = at + 1;
    }
    return this.textUpTo(end, text.slice(start, end));
  }

  private textUpTo(end: number, text: string): string {
    this.at = end;
    this.end = end;
    return text.length > this.longest ? this.noText() : text;
  }

  private noText(): string {
    this.giveUp();
    return '';
  }
}

/** A space, a line end or the end of the text: all other blanks are none of ours. */
function isBlank(next: number): boolean {
  return !(next > unit.space);
}

/** Letters, digits, what lies beyond ASCII, a few marks; a sign or point with something behind it. */
function startsPlain(first: number, second: number): boolean {
  if (isAlphanumeric(first) || first > 0x7f) return true;
  if (first === unit.dash) return isAlphanumeric(second) || second === unit.dot;
  if (first === unit.dot) return isAlphanumeric(second);
  return plainStarts.includes(String.fromCharCode(first));
}

function isAlphanumeric(next: number): boolean {
  return (next >= 0x61 && next <= 0x7a) || (next >= 0x41 && next <= 0x5a) || (next >= 0x30 && next <= 0x39);
}

function isFlowMark(next: number): boolean {
  return (
    next === unit.comma ||
    next === unit.openList ||
    next === unit.closeList ||
    next === unit.openMap ||
    next === unit.closeMap
  );
}
