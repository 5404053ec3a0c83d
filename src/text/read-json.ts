import { normalised } from './ascii.js';
import type { YamlLimits } from './limits.js';
import type { TextProblem } from './problems.js';
import { type ReadYaml, readYaml } from './read-yaml.js';
import type { Source } from './source.js';

/**
 * Reads JSON into what the same text gives as YAML, of which it is a part. Whatever may be wrong with it, and every
 * question for a place, is left to the YAML reader: it knows where things stand, and sees a key that is there twice.
 */
export function readJson(source: Source, limits: YamlLimits): ReadYaml {
  if (source.text.length > limits.bytes) return readYaml(source, limits);
  let parsed: unknown;
  try {
    parsed = JSON.parse(source.text);
  } catch (error) {
    return { problems: [notJson(source, error)] };
  }
  const copy = new Copy(limits);
  const data = copy.of(parsed, 1);
  if (copy.isOdd || typeof parsed !== 'object' || copy.keys !== keysIn(source.text))
    return readYaml(source, limits);
  let full: ReadYaml | undefined;
  const locate: NonNullable<ReadYaml['document']>['locate'] = (path, part) => {
    full ??= readYaml(source, limits);
    // JSON that YAML reads otherwise, as a key of more than 1,024 characters: the whole is the place.
    return full.document?.locate(path, part) ?? { source, span: { start: 0, end: source.text.length } };
  };
  return { document: { source, data, locate }, problems: [] };
}

function notJson(source: Source, error: unknown): TextProblem {
  const words = error instanceof Error ? error.message : '';
  const told = /\bposition (\d+)/.exec(words)?.[1];
  const start = told === undefined ? source.text.length : Number(told);
  const detail =
    told === undefined ? 'this JSON ends too early' : 'this is not JSON: something else belongs here';
  const end = Math.min(start + 1, source.text.length);
  return {
    code: 'json-syntax',
    data: { detail },
    at: { source, span: { start: Math.min(start, end), end } },
  };
}

/** Plain data with maps that have no prototype; odd as soon as a limit is passed. Counts keys on its way. */
class Copy {
  isOdd = false;
  keys = 0;
  private readonly limits: YamlLimits;

  constructor(limits: YamlLimits) {
    this.limits = limits;
  }

  of(value: unknown, depth: number): unknown {
    if (typeof value === 'string') {
      this.isOdd ||= value.length > this.limits.textLength;
      return value;
    }
    if (typeof value === 'number') {
      this.isOdd ||= !Number.isFinite(value);
      // Adding zero turns -0 into 0.
      return value + 0;
    }
    if (typeof value !== 'object' || value === null) return value;
    this.isOdd ||= depth > this.limits.nesting;
    if (this.isOdd) return undefined;
    return Array.isArray(value) ? this.list(value, depth) : this.map(value, depth);
  }

  private list(list: readonly unknown[], depth: number): unknown[] {
    this.isOdd ||= list.length > this.limits.itemsPerList;
    return this.isOdd ? [] : list.map((each) => this.of(each, depth + 1));
  }

  private map(map: object, depth: number): Record<string, unknown> {
    const copy: Record<string, unknown> = Object.create(null);
    const entries = Object.entries(map);
    this.keys += entries.length;
    this.isOdd ||= entries.length > this.limits.keysPerMap;
    for (const [key, value] of entries) {
      // JavaScript moves keys that look like whole numbers to the front.
      this.isOdd ||= key === '' || /^\d/.test(key) || key !== normalised(key, 'NFC');
      copy[key] = this.of(value, depth + 1);
    }
    return copy;
  }
}

/** Keys as they are written: a colon outside of quotes stands behind each, and nowhere else in sound JSON. */
function keysIn(text: string): number {
  let keys = 0;
  for (let at = 0; at < text.length; at += 1) {
    const unit = text.charCodeAt(at);
    if (unit === 0x3a) keys += 1;
    else if (unit === 0x22) at = closingQuote(text, at + 1);
  }
  return keys;
}

function closingQuote(text: string, from: number): number {
  for (let at = text.indexOf('"', from); ; at = text.indexOf('"', at + 1)) {
    let slashes = 0;
    while (text.charCodeAt(at - 1 - slashes) === 0x5c) slashes += 1;
    if (slashes % 2 === 0) return at;
  }
}
