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

/** YAML 1.2 ends a search for the colon of a key there (§7.4.2, §8.2.2); a longer key is a problem. */
const longestKey = 1_024;

/** What may start a plain text beside letters, digits and all beyond ASCII; YAML gives the others a meaning. */
const harmlessStarts = '_+/()$=^;~';

/** Words of the core schema (YAML 1.2 §10.3.2) that are not text. Yes, no, on and off are. */
const coreWords: ReadonlyMap<string, boolean | null> = new Map([
  ...['~', 'null', 'Null', 'NULL'].map((word) => [word, null] as const),
  ...['true', 'True', 'TRUE'].map((word) => [word, true] as const),
  ...['false', 'False', 'FALSE'].map((word) => [word, false] as const),
]);

/** Told, for each entry of a map or list, where its key and value stand: offsets of their starts and ends. */
export type OnEntry = (
  collection: object,
  step: string | number,
  keyStart: number,
  keyEnd: number,
  start: number,
  end: number,
) => void;

/**
 * One pass over a text: recursive descent, by columns in blocks and by brackets in flows. At the first thing outside
 * the subset it gives up, which moves it behind the end of the text, where every loop stops.
 */
export class EverydayReader {
  private readonly text: string;
  private readonly limits: YamlLimits;
  private readonly onEntry: OnEntry | undefined;
  /** Offset of what is read next. */
  private at = 0;
  /** In a block: the column of what is read next, which is the first on its line or behind a dash; -1 at the end. */
  private column = -1;
  /** Maps and lists around what is read next. */
  private depth = 0;
  private flowDepth = 0;
  private gaveUp = false;
  /** Where the last key or value ends, blanks and comments behind it not counted. */
  private end = 0;

  constructor(text: string, limits: YamlLimits, onEntry?: OnEntry) {
    this.text = text;
    this.limits = limits;
    this.onEntry = onEntry;
  }

  /** The data of a text whose root is a block map; undefined when it gave up. */
  read(): unknown {
    this.nextLine(0);
    const data = this.blockMap();
    return this.gaveUp || this.column !== -1 ? undefined : data;
  }

  private giveUp(): undefined {
    this.gaveUp = true;
    this.at = this.text.length;
    this.column = -1;
    return undefined;
  }

  /** The map whose first key is next. */
  private blockMap(): unknown {
    const { column } = this;
    const map: Record<string, unknown> = Object.create(null);
    this.enter();
    let room = this.limits.keysPerMap;
    do {
      const keyStart = this.at;
      const key = this.key(false, map);
      const keyEnd = this.end;
      this.skipSpaces();
      const start = this.at;
      const value = this.blockValue(column);
      room -= 1;
      if (room <= 0) this.giveUp();
      map[key] = value;
    } while (this.column === column);
    return this.leaveBlock(column, map);
  }

  /** What stands behind the colon of a key at `column`, on its line or below it, up to the next line with content. */
  private blockValue(column: number): unknown {
    if (!this.atLineEnd()) return this.inlineValue(column);
    this.nextLine();
    if (this.column > column) return this.block();
    return this.column === column && this.atDash() ? this.blockList() : null;
  }
}
