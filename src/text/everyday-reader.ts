import { numberOrText } from './csv-state.js';
import type { YamlLimits } from './limits.js';

const lf = 0x0a;
const cr = 0x0d;
const space = 0x20;
const quote = 0x22;
const hash = 0x23;
const apostrophe = 0x27;
const comma = 0x2c;
const dash = 0x2d;
const dot = 0x2e;
const colon = 0x3a;
const openList = 0x5b;
const closeList = 0x5d;
const openMap = 0x7b;
const closeMap = 0x7d;

/** A key's colon must come within so many characters (YAML 1.2.2 §7.4.2); the full reader's business when not. */
const longestKey = 1_024;

/** Besides letters, digits and what lies beyond ASCII; YAML gives most others a meaning at the start of a text. */
const plainStarts = '_+/()$=^;~';

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

/**
 * Told of each entry of a map or list when it was read: offsets where its key starts and ends and where its value
 * does. An empty value starts where it ends; an entry of a list has its value's place as its key's.
 */
export type OnEntry = (
  collection: object,
  step: string | number,
  keyStart: number,
  keyEnd: number,
  start: number,
  end: number,
) => void;

/**
 * One pass over a text, down into blocks by column and into flows by bracket. At the first thing outside the subset
 * it gives up: what is read next is then the end of the text, where every loop stops.
 */
export class EverydayReader {
  private readonly text: string;
  private readonly limits: YamlLimits;
  private readonly onEntry: OnEntry | undefined;
  /** Offset of what is read next. */
  private at = 0;
  /** Column of the block entry at hand, which a flow inside it must stay right of; -1 behind the last one. */
  private column = -1;
  /** Offset where the key or value read last ends. */
  private end = 0;
  private depth = 0;
  private flowDepth = 0;
  private gaveUp = false;

  constructor(text: string, limits: YamlLimits, onEntry?: OnEntry) {
    this.text = text;
    this.limits = limits;
    this.onEntry = onEntry;
  }

  /** The data of a whole text whose root is a block map; undefined when it gave up. */
  read(): unknown {
    if (this.text.startsWith('---')) {
      this.at = 3;
      this.nextLine(-1);
    } else {
      this.nextLine(0);
    }
    const data = this.blockMap();
    if (this.column !== -1) this.giveUp();
    return this.gaveUp ? undefined : data;
  }

  private giveUp(): void {
    this.gaveUp = true;
    this.at = this.text.length;
    this.column = -1;
  }

  private block(): unknown {
    return this.atDash() ? this.blockList() : this.blockMap();
  }

  private blockMap(): unknown {
    const { column } = this;
    const map: Record<string, unknown> = Object.create(null);
    let room = this.enter(this.limits.keysPerMap);
    do {
      const keyStart = this.at;
      const key = this.key(map, false);
      const keyEnd = this.end;
      const isInline = this.toValue();
      const start = this.at;
      const value = isInline ? this.inlineValue() : this.valueBelow(column);
      map[key] = value;
      this.onEntry?.(map, key, keyStart, keyEnd, start, isInline || value !== null ? this.end : start);
      room -= 1;
      if (room === 0) this.giveUp();
    } while (this.column === column);
    this.leaveBlock(column);
    return map;
  }

  private blockList(): unknown {
    const { column } = this;
    const list: unknown[] = [];
    let room = this.enter(this.limits.itemsPerList);
    do {
      const dashAt = this.at;
      this.at += 1;
      const isInline = this.toValue();
      if (!isInline && this.column <= column) this.giveUp();
      const start = this.at;
      const value = isInline ? this.valueBehindDash(dashAt) : this.block();
      this.onEntry?.(list, list.length, start, this.end, start, this.end);
      list.push(value);
      room -= 1;
      if (room === 0) this.giveUp();
    } while (this.column === column && this.atDash());
    this.leaveBlock(column);
    return list;
  }

  /** A block reaches up to whatever comes behind it, which must not stand right of it. */
  private leaveBlock(column: number): void {
    if (this.column > column) this.giveUp();
    this.depth -= 1;
    this.end = this.at;
  }

  /** How many entries a collection may get. The full reader may count one more than there are: a trailing comment. */
  private enter(limit: number): number {
    this.depth += 1;
    if (this.depth > this.limits.nesting) this.giveUp();
    return limit;
  }

  /** To the value behind a colon or dash; true when it stands on the same line. */
  private toValue(): boolean {
    this.skipSpaces();
    const unit = this.text.charCodeAt(this.at);
    if (unit > space && unit !== hash) return true;
    this.nextLine(-1);
    return false;
  }

  /** The value of a key at `column` with nothing behind its colon. A list may stand right below its key. */
  private valueBelow(column: number): unknown {
    if (this.column > column) return this.block();
    return this.column === column && this.atDash() ? this.blockList() : null;
  }

  private valueBehindDash(dashAt: number): unknown {
    if (!this.atDash() && !this.atKey()) return this.inlineValue();
    this.column += this.at - dashAt;
    return this.block();
  }

  private inlineValue(): unknown {
    const value = this.flowValue(false);
    this.nextLine(-1);
    return value;
  }

  private flowValue(inFlow: boolean): unknown {
    const unit = this.text.charCodeAt(this.at);
    if (unit === openMap) return this.flowMap();
    if (unit === openList) return this.flowList();
    if (unit === quote || unit === apostrophe) return this.quoted(unit);
    const written = this.plain(inFlow);
    const word = coreWords.get(written);
    return word === undefined ? numberOrText(written) : word;
  }

  private flowMap(): unknown {
    const map: Record<string, unknown> = Object.create(null);
    let room = this.enter(this.limits.keysPerMap);
    this.flowDepth += 1;
    this.at += 1;
    while (this.hasFlowEntry(closeMap)) {
      const keyStart = this.at;
      const key = this.key(map, true);
      const keyEnd = this.end;
      this.skipInFlow();
      const start = this.at;
      const unit = this.text.charCodeAt(start);
      const isEmpty = unit === comma || unit === closeMap;
      const value = isEmpty ? null : this.flowValue(true);
      map[key] = value;
      this.onEntry?.(map, key, keyStart, keyEnd, start, isEmpty ? start : this.end);
      this.leaveFlowEntry(closeMap);
      room -= 1;
      if (room === 0) this.giveUp();
    }
    this.leaveFlow();
    return map;
  }

  private flowList(): unknown {
    const list: unknown[] = [];
    let room = this.enter(this.limits.itemsPerList);
    this.flowDepth += 1;
    this.at += 1;
    while (this.hasFlowEntry(closeList)) {
      const start = this.at;
      const value = this.flowValue(true);
      this.onEntry?.(list, list.length, start, this.end, start, this.end);
      list.push(value);
      this.leaveFlowEntry(closeList);
      room -= 1;
      if (room === 0) this.giveUp();
    }
    this.leaveFlow();
    return list;
  }

  private hasFlowEntry(close: number): boolean {
    this.skipInFlow();
    return this.text.charCodeAt(this.at) !== close && !this.gaveUp;
  }

  /** Past the comma behind an entry, which the last one may lack. */
  private leaveFlowEntry(close: number): void {
    this.skipInFlow();
    const unit = this.text.charCodeAt(this.at);
    if (unit === comma) this.at += 1;
    else if (unit !== close) this.giveUp();
  }

  private leaveFlow(): void {
    this.at += 1;
    this.end = this.at;
    this.depth -= 1;
    this.flowDepth -= 1;
  }

  /** A key with its colon. Gives up on an empty key and on one that is there already, in another spelling too. */
  private key(map: object, inFlow: boolean): string {
    const start = this.at;
    const text = this.keyText(inFlow);
    const isKey = this.atColon() && this.at - start <= longestKey;
    if (!isKey || text === '' || text in map || text !== text.normalize('NFC')) this.giveUp();
    this.at += 1;
    return text;
  }

  private keyText(inFlow: boolean): string {
    const unit = this.text.charCodeAt(this.at);
    const text = unit === quote || unit === apostrophe ? this.quoted(unit) : this.plain(inFlow);
    this.skipSpaces();
    return text;
  }

  /** Whether a key is next, rather than a text or a flow. */
  private atKey(): boolean {
    const { at, text } = this;
    const unit = text.charCodeAt(at);
    if (unit === openMap || unit === openList) return false;
    this.keyText(false);
    const found = this.atColon();
    this.at = at;
    return found;
  }

  private atColon(): boolean {
    return this.text.charCodeAt(this.at) === colon && isBlank(this.text.charCodeAt(this.at + 1));
  }

  private atDash(): boolean {
    return this.text.charCodeAt(this.at) === dash && isBlank(this.text.charCodeAt(this.at + 1));
  }

  private quoted(mark: number): string {
    const { text } = this;
    const character = mark === quote ? '"' : "'";
    let end = text.indexOf(character, this.at + 1);
    while (mark === apostrophe && end !== -1 && text.charCodeAt(end + 1) === apostrophe) {
      end = text.indexOf(character, end + 2);
    }
    const body = text.slice(this.at + 1, Math.max(end, 0));
    const isSimple = !body.includes('\n') && (mark === apostrophe || !body.includes('\\'));
    if (end === -1 || !isSimple) return this.noText();
    return this.ended(end + 1, mark === quote ? body : body.replaceAll("''", "'"));
  }

  /** A text without quotes, up to a comment, the end of its line, ": ", or in a flow a bracket or comma. */
  private plain(inFlow: boolean): string {
    const { text, at: start } = this;
    if (!startsPlain(text.charCodeAt(start), text.charCodeAt(start + 1))) return this.noText();
    let end = start;
    for (let at = start; ; at += 1) {
      const unit = text.charCodeAt(at);
      if (unit === space) continue;
      if (!(unit > space) || (inFlow && isFlowMark(unit))) break;
      if (unit === hash && text.charCodeAt(at - 1) === space) break;
      if (unit === colon) {
        const next = text.charCodeAt(at + 1);
        if (isBlank(next) || (inFlow && isFlowMark(next))) break;
      }
      end = at + 1;
    }
    return this.ended(end, text.slice(start, end));
  }

  private noText(): string {
    this.giveUp();
    return '';
  }

  private ended(end: number, text: string): string {
    this.at = end;
    this.end = end;
    return text.length > this.limits.textLength ? this.noText() : text;
  }

  private skipSpaces(): void {
    while (this.text.charCodeAt(this.at) === space) this.at += 1;
  }

  /** Behind the last thing of a line (or at the start of one): to the next line that holds more than a comment. */
  private nextLine(from: number): void {
    const lineStart = this.toContent(from);
    if (this.at >= this.text.length) this.column = -1;
    else if (lineStart === -1) this.giveUp();
    else this.column = this.at - lineStart;
  }

  /** In a flow, where lines end anywhere, but each must stand right of the key or dash that holds the flow. */
  private skipInFlow(): void {
    const lineStart = this.toContent(-1);
    if (lineStart === -1) return;
    const unit = this.text.charCodeAt(this.at);
    const isLast = this.flowDepth === 1 && (unit === closeMap || unit === closeList);
    if (this.at - lineStart < this.column + (isLast ? 0 : 1)) this.giveUp();
  }

  /** Past blanks, comments and line ends; the start of the line it comes to, or `lineStart` when that is the same. */
  private toContent(lineStart: number): number {
    const { text } = this;
    let from = lineStart;
    for (let at = this.at; ; ) {
      const unit = text.charCodeAt(at);
      if (unit === space || unit === cr) {
        at += 1;
      } else if (unit === lf) {
        at += 1;
        from = at;
      } else if (unit === hash && (at === from || text.charCodeAt(at - 1) === space)) {
        const end = text.indexOf('\n', at);
        at = end === -1 ? text.length : end;
      } else {
        this.at = at;
        return from;
      }
    }
  }
}

/** Blank or the end of the text, as YAML wants it behind the colon of a key and the dash of an entry. */
function isBlank(unit: number): boolean {
  return !(unit > space);
}

/** Letters, digits, what lies beyond ASCII, a few marks; a sign or point with something behind it. */
function startsPlain(unit: number, next: number): boolean {
  if (isAlphanumeric(unit) || unit > 0x7f) return true;
  if (unit === dash) return isAlphanumeric(next) || next === dot;
  if (unit === dot) return isAlphanumeric(next);
  return plainStarts.includes(String.fromCharCode(unit));
}

function isAlphanumeric(unit: number): boolean {
  return (unit >= 0x61 && unit <= 0x7a) || (unit >= 0x41 && unit <= 0x5a) || (unit >= 0x30 && unit <= 0x39);
}

function isFlowMark(unit: number): boolean {
  return (
    unit === comma || unit === openList || unit === closeList || unit === openMap || unit === closeMap
  );
}
