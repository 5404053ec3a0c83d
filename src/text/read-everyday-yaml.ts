import { normalised } from './ascii.js';
import { EverydayCursor, unit } from './everyday-cursor.js';
import type { YamlLimits } from './limits.js';

/** What the full reader is to judge: tabs and other controls, lone CRs, byte order marks, line separators. */
const odd = /[^\n\r -~\u{a0}-\u{2027}\u{202a}-\u{fefe}\u{ff00}-\u{fffd}\u{10000}-\u{10ffff}]|\r(?!\n)/u;

/** A key's colon must come within so many characters (YAML 1.2.2 §7.4.2). */
const longestKey = 1_024;

/**
 * The data of a file written in an everyday subset of YAML: block maps and lists by indentation, flows in brackets,
 * texts on one line, plain or in quotes without a backslash, comments; a map at its root. Undefined for all else and
 * for all that may be wrong, which the full reader then reads and words. What it gives is what the full reader gives:
 * a test holds the two against each other.
 *
 * It is there because loading the full parser and running it once takes about as long as starting Node does.
 */
export function readEverydayYaml(text: string, limits: YamlLimits): unknown {
  if (text.length > limits.bytes || odd.test(text)) return undefined;
  return new EverydayReader(text, limits).read();
}

type DataMap = Record<string, unknown>;

/** One pass over a text: down into blocks by column and into flows by bracket. */
class EverydayReader {
  private readonly cursor: EverydayCursor;
  private readonly limits: YamlLimits;
  /** Column of the block entry at hand, which a flow in it must stay right of; -1 behind the last one. */
  private column = -1;
  private depth = 0;

  constructor(text: string, limits: YamlLimits) {
    this.cursor = new EverydayCursor(text, limits.textLength);
    this.limits = limits;
  }

  /** Undefined when it gave up, or when a line stands at a column where nothing does. */
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
    let count = 0;
    do {
      const key = this.key(map);
      map[key] = this.toValue() ? this.inlineValue() : this.valueBelow(column);
      count += 1;
      if (count >= this.limits.keysPerMap) cursor.giveUp();
    } while (this.column === column && !cursor.gaveUp);
    this.depth -= 1;
    return map;
  }

  private blockList(): unknown[] {
    const { cursor, column } = this;
    const list: unknown[] = [];
    this.enter();
    do {
      const dashAt = cursor.at;
      cursor.at += 1;
      if (this.toValue()) {
        list.push(this.valueBehindDash(dashAt));
      } else {
        if (this.column <= column) cursor.giveUp();
        list.push(this.block());
      }
      if (list.length >= this.limits.itemsPerList) cursor.giveUp();
    } while (this.column === column && cursor.isAtMark(unit.dash));
    this.depth -= 1;
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
    if (!cursor.isAtMark(unit.dash) && !cursor.isAtKey()) return this.inlineValue();
    this.column += cursor.at - dashAt;
    return this.block();
  }

  private inlineValue(): unknown {
    const value = this.value();
    this.nextLine(-1);
    return value;
  }

  /** To the next line that holds more than a comment, from behind the last thing on a line or the start of one. */
  private nextLine(from: number): void {
    const { cursor } = this;
    const lineStart = cursor.toContent(from);
    const isEnd = cursor.at >= cursor.text.length;
    if (lineStart === -1 && !isEnd) cursor.giveUp();
    this.column = isEnd || cursor.gaveUp ? -1 : cursor.at - lineStart;
  }

  /** What needs no line of its own. */
  private value(): unknown {
    const { cursor } = this;
    const next = cursor.next();
    if (next === unit.openMap) return this.flowMap();
    if (next === unit.openList) return this.flowList();
    return cursor.scalar();
  }

  private flowMap(): DataMap {
    const { cursor } = this;
    const map: DataMap = Object.create(null);
    this.enterFlow();
    for (let count = 1; this.hasFlowEntry(unit.closeMap); count += 1) {
      const key = this.key(map);
      this.skipInFlow();
      const next = cursor.next();
      map[key] = next === unit.comma || next === unit.closeMap ? null : this.value();
      this.leaveFlowEntry(unit.closeMap);
      if (count >= this.limits.keysPerMap) cursor.giveUp();
    }
    this.leaveFlow();
    return map;
  }

  private flowList(): unknown[] {
    const list: unknown[] = [];
    this.enterFlow();
    while (this.hasFlowEntry(unit.closeList)) {
      list.push(this.value());
      this.leaveFlowEntry(unit.closeList);
      if (list.length >= this.limits.itemsPerList) this.cursor.giveUp();
    }
    this.leaveFlow();
    return list;
  }

  private enterFlow(): void {
    this.enter();
    this.cursor.flowDepth += 1;
    this.cursor.at += 1;
  }

  private leaveFlow(): void {
    this.depth -= 1;
    this.cursor.flowDepth -= 1;
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

  /** A key with its colon; not an empty one, nor one that is there already, be it in another spelling. */
  private key(map: DataMap): string {
    const { cursor } = this;
    const start = cursor.at;
    const key = cursor.keyText();
    const isWhole = cursor.isAtMark(unit.colon) && cursor.at - start <= longestKey;
    if (!isWhole || key === '' || key in map || key !== normalised(key, 'NFC')) cursor.giveUp();
    cursor.at += 1;
    return key;
  }
}
