import { numberOrText } from './csv-state.js';
import { EverydayCursor, unit } from './everyday-cursor.js';
import type { YamlLimits } from './limits.js';

/** A key's colon must come within so many characters (YAML 1.2.2 §7.4.2). */
const longestKey = 1_024;

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
 * Told of each entry of a map or list when it has been read: the offsets where its key starts and ends, and its value.
 * An empty value ends where it starts; an entry of a list has its value's place as its key's.
 */
export type OnEntry = (
  collection: object,
  step: string | number,
  keyStart: number,
  keyEnd: number,
  start: number,
  end: number,
) => void;

type DataMap = Record<string, unknown>;

/** One pass over a text: down into blocks by column and into flows by bracket. */
export class EverydayReader {
  private readonly cursor: EverydayCursor;
  private readonly limits: YamlLimits;
  private readonly onEntry: OnEntry | undefined;
  /** Column of the block entry at hand, which a flow in it must stay right of; -1 behind the last one. */
  private column = -1;
  private depth = 0;

  constructor(text: string, limits: YamlLimits, onEntry?: OnEntry) {
    this.cursor = new EverydayCursor(text, limits);
    this.limits = limits;
    this.onEntry = onEntry;
  }

  /** The data of a text whose root is a block map; undefined when it gave up. */
  read(): unknown {
    const { cursor } = this;
    const isMarked = cursor.text.startsWith('---');
    if (isMarked) cursor.at = 3;
    this.nextLine(isMarked ? -1 : 0);
    const data = this.blockMap();
    return cursor.gaveUp || this.column !== -1 ? undefined : data;
  }

  private block(): unknown {
    return this.cursor.isAtMark(unit.dash) ? this.blockList() : this.blockMap();
  }

  private blockMap(): DataMap {
    const { cursor, column } = this;
    const map: DataMap = Object.create(null);
    this.enter();
    let room = this.limits.keysPerMap;
    do {
      const keyStart = cursor.at;
      const key = this.key(map);
      const keyEnd = cursor.end;
      const isInline = this.toValue();
      const start = cursor.at;
      const value = isInline ? this.inlineValue() : this.valueBelow(column);
      map[key] = value;
      this.onEntry?.(map, key, keyStart, keyEnd, start, isInline || value !== null ? cursor.end : start);
      room = this.oneLess(room);
    } while (this.column === column && !cursor.gaveUp);
    this.leaveBlock(column);
    return map;
  }

  private blockList(): unknown[] {
    const { cursor, column } = this;
    const list: unknown[] = [];
    this.enter();
    let room = this.limits.itemsPerList;
    do {
      const dashAt = cursor.at;
      cursor.at += 1;
      const isInline = this.toValue();
      if (!isInline && this.column <= column) cursor.giveUp();
      const start = cursor.at;
      const value = isInline ? this.valueBehindDash(dashAt) : this.block();
      this.onEntry?.(list, list.length, start, cursor.end, start, cursor.end);
      list.push(value);
      room = this.oneLess(room);
    } while (this.column === column && cursor.isAtMark(unit.dash));
    this.leaveBlock(column);
    return list;
  }

  /** To the value behind a colon or dash; true when it stands on the same line. */
  private toValue(): boolean {
    const { cursor } = this;
    cursor.skipSpaces();
    const next = cursor.next();
    if (next > unit.space && next !== unit.hash) return true;
    this.nextLine(-1);
    return false;
  }

  /** The value of a key with nothing behind its colon. A list may stand right below the key. */
  private valueBelow(column: number): unknown {
    if (this.column > column) return this.block();
    return this.column === column && this.cursor.isAtMark(unit.dash) ? this.blockList() : null;
  }

  private valueBehindDash(dashAt: number): unknown {
    const { cursor } = this;
    if (!cursor.isAtMark(unit.dash) && !this.isAtKey()) return this.inlineValue();
    this.column += cursor.at - dashAt;
    return this.block();
  }

  private inlineValue(): unknown {
    const value = this.value();
    this.nextLine(-1);
    return value;
  }

  /** A block reaches up to what comes behind it, which must not stand right of it. */
  private leaveBlock(column: number): void {
    if (this.column > column) this.cursor.giveUp();
    this.cursor.end = this.cursor.at;
    this.depth -= 1;
  }

  /** To the next line that holds more than a comment, from behind the last thing on a line or the start of one. */
  private nextLine(from: number): void {
    const { cursor } = this;
    const lineStart = cursor.toContent(from);
    if (lineStart === -1) cursor.giveUp();
    this.column = cursor.at < cursor.text.length ? cursor.at - lineStart : -1;
  }

  /** What needs no line of its own. */
  private value(): unknown {
    const { cursor } = this;
    const next = cursor.next();
    if (next === unit.openMap) return this.flowMap();
    if (next === unit.openList) return this.flowList();
    if (cursor.isAtQuote()) return cursor.quoted();
    const written = cursor.plain();
    const word = coreWords.get(written);
    return word === undefined ? numberOrText(written) : word;
  }

  private flowMap(): DataMap {
    const { cursor } = this;
    const map: DataMap = Object.create(null);
    this.enterFlow();
    let room = this.limits.keysPerMap;
    while (this.hasFlowEntry(unit.closeMap)) {
      const keyStart = cursor.at;
      const key = this.key(map);
      const keyEnd = cursor.end;
      this.skipInFlow();
      const start = cursor.at;
      const next = cursor.next();
      const isEmpty = next === unit.comma || next === unit.closeMap;
      map[key] = isEmpty ? null : this.value();
      this.onEntry?.(map, key, keyStart, keyEnd, start, isEmpty ? start : cursor.end);
      this.leaveFlowEntry(unit.closeMap);
      room = this.oneLess(room);
    }
    this.leaveFlow();
    return map;
  }

  private flowList(): unknown[] {
    const { cursor } = this;
    const list: unknown[] = [];
    this.enterFlow();
    let room = this.limits.itemsPerList;
    while (this.hasFlowEntry(unit.closeList)) {
      const start = cursor.at;
      const value = this.value();
      this.onEntry?.(list, list.length, start, cursor.end, start, cursor.end);
      list.push(value);
      this.leaveFlowEntry(unit.closeList);
      room = this.oneLess(room);
    }
    this.leaveFlow();
    return list;
  }

  private enterFlow(): void {
    this.enter();
    this.cursor.flowDepth += 1;
    this.cursor.at += 1;
  }

  private hasFlowEntry(close: number): boolean {
    this.skipInFlow();
    return this.cursor.next() !== close && !this.cursor.gaveUp;
  }

  /** Past the comma behind an entry, which the last one may lack. */
  private leaveFlowEntry(close: number): void {
    this.skipInFlow();
    const next = this.cursor.next();
    if (next === unit.comma) this.cursor.at += 1;
    else if (next !== close) this.cursor.giveUp();
  }

  private leaveFlow(): void {
    const { cursor } = this;
    cursor.at += 1;
    cursor.end = cursor.at;
    cursor.flowDepth -= 1;
    this.depth -= 1;
  }

  /** In a flow lines end anywhere, but each must stand right of the key or dash that holds the flow. */
  private skipInFlow(): void {
    const { cursor } = this;
    const lineStart = cursor.toContent(-1);
    if (lineStart === -1) return;
    const next = cursor.next();
    const isLast = cursor.flowDepth === 1 && (next === unit.closeMap || next === unit.closeList);
    if (cursor.at - lineStart < this.column + (isLast ? 0 : 1)) cursor.giveUp();
  }

  private enter(): void {
    this.depth += 1;
    if (this.depth > this.limits.nesting) this.cursor.giveUp();
  }

  /** Stops one short of the limit, as the full reader counts a comment behind the last entry. */
  private oneLess(room: number): number {
    if (room <= 1) this.cursor.giveUp();
    return room - 1;
  }

  /** A key with its colon; not an empty one, nor one that is there already, be it in another spelling. */
  private key(map: DataMap): string {
    const { cursor } = this;
    const start = cursor.at;
    const key = this.keyText();
    const isWhole = cursor.isAtMark(unit.colon) && cursor.at - start <= longestKey;
    if (!isWhole || key === '' || key in map || key !== key.normalize('NFC')) cursor.giveUp();
    cursor.at += 1;
    return key;
  }

  private keyText(): string {
    const { cursor } = this;
    const text = cursor.isAtQuote() ? cursor.quoted() : cursor.plain();
    cursor.skipSpaces();
    return text;
  }

  /** Whether what is next is a key, rather than a text or a flow. */
  private isAtKey(): boolean {
    const { cursor } = this;
    const { at } = cursor;
    const next = cursor.next();
    if (next === unit.openMap || next === unit.openList) return false;
    this.keyText();
    const isKey = cursor.isAtMark(unit.colon);
    cursor.at = at;
    return isKey;
  }
}
