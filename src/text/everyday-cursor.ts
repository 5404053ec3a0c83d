import { numberOrText } from './state-setting.js';

/** UTF-16 units with a meaning in the everyday subset of YAML. */
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

/** Words of the core schema (YAML 1.2.2 §10.3.2) that are not text; yes, no, on and off are. */
const coreWords: ReadonlyMap<string, boolean | null> = new Map<string, boolean | null>([
  ['~', null],
  ['null', null],
  ['Null', null],
  ['NULL', null],
  ['true', true],
  ['True', true],
  ['TRUE', true],
  ['false', false],
  ['False', false],
  ['FALSE', false],
]);

/** Besides letters, digits and what lies beyond ASCII; YAML gives most others a meaning at the start of a text. */
const plainStarts = '_+/()$=^;~';

/**
 * A place in a text and what can be read there: blanks, comments, texts plain and in quotes. At the first thing
 * outside the subset it gives up: it then stands at the end of the text, where every loop stops.
 */
export class EverydayCursor {
  readonly text: string;
  /** Offset of what is read next. */
  at = 0;
  /** Brackets open around what is read next. */
  flowDepth = 0;
  gaveUp = false;
  private readonly longestText: number;

  constructor(text: string, longestText: number) {
    this.text = text;
    this.longestText = longestText;
  }

  giveUp(): void {
    this.gaveUp = true;
    this.at = this.text.length;
  }

  /** The unit that is read next; NaN at the end, for which no comparison holds. */
  next(): number {
    return this.text.charCodeAt(this.at);
  }

  /** A dash or colon that means something, having a blank behind it. */
  isAtMark(mark: number): boolean {
    return this.next() === mark && isBlank(this.text.charCodeAt(this.at + 1));
  }

  skipSpaces(): void {
    while (this.next() === unit.space) this.at += 1;
  }

  /**
   * Past blanks, comments and line ends. Gives the start of the line it comes to, or `lineStart` when that is the
   * line it was on. In a flow a comment at the very start of a line is the full reader's, which takes some for errors.
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

  /** A number or word of the core schema in plain writing, any other text, or one in quotes. */
  scalar(): unknown {
    if (this.isAtQuote()) return this.quoted();
    const written = this.plain();
    const word = coreWords.get(written);
    return word === undefined ? numberOrText(written) : word;
  }

  /** A text as it stands before a colon, where a number is one too, with the blanks up to the colon. */
  keyText(): string {
    const text = this.isAtQuote() ? this.quoted() : this.plain();
    this.skipSpaces();
    return text;
  }

  /** Whether what is next is a key, rather than a text or a flow. */
  isAtKey(): boolean {
    const { at } = this;
    const next = this.next();
    if (next === unit.openMap || next === unit.openList) return false;
    this.keyText();
    const isKey = this.isAtMark(unit.colon);
    this.at = at;
    return isKey;
  }

  private isAtQuote(): boolean {
    const next = this.next();
    return next === unit.quote || next === unit.apostrophe;
  }

  /** A text in quotes, on one line and without a backslash. */
  private quoted(): string {
    const { text } = this;
    const isSingle = this.next() === unit.apostrophe;
    const mark = isSingle ? "'" : '"';
    let end = text.indexOf(mark, this.at + 1);
    while (isSingle && end !== -1 && text.charCodeAt(end + 1) === unit.apostrophe) {
      end = text.indexOf(mark, end + 2);
    }
    const body = text.slice(this.at + 1, Math.max(end, 0));
    if (end === -1 || body.includes('\n') || (!isSingle && body.includes('\\'))) return this.noText();
    return this.textUpTo(end + 1, isSingle ? body.replaceAll("''", "'") : body);
  }

  /** A text without quotes, up to a comment, ": ", the end of its line, or in a flow a comma or bracket. */
  private plain(): string {
    const { text, at: start } = this;
    const isInFlow = this.flowDepth > 0;
    if (!startsPlain(text, start)) return this.noText();
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
    return text.length > this.longestText ? this.noText() : text;
  }

  private noText(): string {
    this.giveUp();
    return '';
  }
}

/** A space, a line end or the end of the text; other blanks are not in the subset. */
function isBlank(next: number): boolean {
  return !(next > unit.space);
}

/** Letters, digits, what lies beyond ASCII, a few marks; a sign or point with something behind it; `./` and `../`. */
function startsPlain(text: string, at: number): boolean {
  const first = text.charCodeAt(at);
  const second = text.charCodeAt(at + 1);
  if (isAlphanumeric(first) || first > 0x7f) return true;
  if (first === unit.dash) return isAlphanumeric(second) || second === unit.dot;
  if (first === unit.dot) return isAlphanumeric(second) || /^\.?\//.test(text.slice(at + 1, at + 3));
  return plainStarts.includes(String.fromCharCode(first));
}

function isAlphanumeric(next: number): boolean {
  return (next >= 0x61 && next <= 0x7a) || (next >= 0x41 && next <= 0x5a) || (next >= 0x30 && next <= 0x39);
}

function isFlowMark(next: number): boolean {
  const isOfList = next === unit.openList || next === unit.closeList;
  return isOfList || next === unit.comma || next === unit.openMap || next === unit.closeMap;
}
