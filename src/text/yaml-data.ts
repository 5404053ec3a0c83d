import { isMap, isScalar, isSeq, type Node, type Pair, type YAMLMap } from 'yaml';
import type { Path } from './document.js';
import type { YamlLimits } from './limits.js';
import type { TextProblem } from './problems.js';
import type { Source, Span } from './source.js';

/** A number as these files write it; what else YAML takes for one (0x10, 0o17, .nan, .inf, 1e999) stays text. */
const decimal = /^[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?$/;

interface Conversion {
  readonly source: Source;
  readonly limits: YamlLimits;
  readonly problems: TextProblem[];
}

/** Plain data from a composed tree at most `limits.nesting` deep: maps without prototype, lists, text, numbers. */
export function dataOf(
  source: Source,
  root: Node | null,
  limits: YamlLimits,
): { data: unknown; problems: TextProblem[] } {
  const conversion: Conversion = { source, limits, problems: [] };
  return { data: plainOf(conversion, root), problems: conversion.problems };
}

function plainOf(conversion: Conversion, node: unknown): unknown {
  if (isMap(node)) return mapOf(conversion, node);
  if (isSeq(node)) return node.items.map((item) => plainOf(conversion, item));
  if (!isScalar(node)) return null;
  const value = node.value;
  if (typeof value === 'string') checkLength(conversion, value, node);
  if (typeof value !== 'number') return value;
  const written = node.source ?? '';
  // Adding zero turns -0 into 0.
  return Number.isFinite(value) && decimal.test(written) ? value + 0 : written;
}

function mapOf(conversion: Conversion, map: YAMLMap): unknown {
  const data: Record<string, unknown> = Object.create(null);
  const seen = new Map<string, Pair>();
  for (const pair of map.items) {
    const key = keyOf(pair);
    const value = plainOf(conversion, pair.value);
    if (key === undefined || key === '') {
      const at = { source: conversion.source, span: keySpan(pair) };
      conversion.problems.push({ code: 'yaml-key-kind', data: { found: 'nothing' }, at });
      continue;
    }
    checkLength(conversion, key, pair.key as Node);
    const same = seen.get(key.normalize('NFC'));
    if (same === undefined) {
      seen.set(key.normalize('NFC'), pair);
      data[key] = value;
    } else {
      reportDuplicate(conversion, key, same, pair);
    }
  }
  return data;
}

function reportDuplicate(conversion: Conversion, key: string, first: Pair, second: Pair): void {
  const { source } = conversion;
  conversion.problems.push({
    code: 'yaml-duplicate-key',
    data: { key },
    at: { source, span: keySpan(second) },
    related: [{ source, span: keySpan(first), role: 'first written here' }],
  });
}

function checkLength(conversion: Conversion, text: string, node: Node): void {
  const limit = conversion.limits.textLength;
  if (text.length <= limit) return;
  const data = { what: 'text length', found: text.length, limit, unit: 'characters' };
  conversion.problems.push({
    code: 'limit-exceeded',
    data,
    at: { source: conversion.source, span: spanOf(node) },
  });
}

/**
 * The place of the key or value at a path in the tree. An empty value has no place of its own and takes its key's.
 * Where the path leads nowhere it is the key of the closest ancestor (for a list entry its value), and the first
 * key of the file when that is the root.
 */
export function locateIn(root: Node | null, path: Path, part: 'key' | 'value'): Span {
  let node: unknown = root;
  let place = rootSpan(root);
  for (const [depth, step] of path.entries()) {
    const last = depth === path.length - 1;
    if (isMap(node) && typeof step === 'string') {
      const pair = pairAt(node, step);
      if (pair === undefined) return place;
      node = pair.value;
      place = last && part === 'value' ? valueSpan(pair) : keySpan(pair);
    } else if (isSeq(node) && typeof step === 'number') {
      const item = node.items[step];
      if (item === undefined) return place;
      node = item;
      place = spanOf(item);
    } else {
      return place;
    }
  }
  return place;
}

const indices = new WeakMap<YAMLMap, Map<string, Pair>>();

/** Indexed once per map, so that many problems in one large map do not cost the square of its keys. */
function pairAt(map: YAMLMap, key: string): Pair | undefined {
  let index = indices.get(map);
  if (index === undefined) {
    index = new Map();
    for (const pair of map.items) {
      const name = keyOf(pair);
      if (name !== undefined && !index.has(name)) index.set(name, pair);
    }
    indices.set(map, index);
  }
  return index.get(key);
}

function rootSpan(root: Node | null): Span {
  const first = isMap(root) ? root.items[0] : undefined;
  return first === undefined ? spanOf(root) : keySpan(first);
}

function valueSpan(pair: Pair): Span {
  const span = spanOf(pair.value);
  return span.end > span.start ? span : keySpan(pair);
}

function keySpan(pair: Pair): Span {
  return spanOf(pair.key);
}

function keyOf(pair: Pair): string | undefined {
  return isScalar(pair.key) && typeof pair.key.value === 'string' ? pair.key.value : undefined;
}

function spanOf(node: unknown): Span {
  const range = isMap(node) || isSeq(node) || isScalar(node) ? node.range : undefined;
  return range ? { start: range[0], end: range[1] } : { start: 0, end: 0 };
}
