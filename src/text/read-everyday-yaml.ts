import type { Document, Path } from './document.js';
import { EverydayReader } from './everyday-reader.js';
import type { YamlLimits } from './limits.js';
import type { Source, Span } from './source.js';

/** Characters the full reader is to judge: tabs, controls, lone CRs, byte order marks, line and paragraph separators. */
const odd = /[^\n\r -~\u{a0}-\u{2027}\u{202a}-\u{fefe}\u{ff00}-\u{fffd}\u{10000}-\u{10ffff}]|\r(?!\n)/u;

/**
 * The short road for files written in an everyday subset of YAML: block maps and lists by indentation, flows in
 * brackets, texts on one line, plain or in quotes without a backslash, comments. Undefined for all else and for all
 * that may be wrong: the full reader (read-yaml.ts) then reads the text and words what is wrong with it. What is
 * given is what the full reader gives, places included; a test holds the two against each other.
 *
 * It exists because loading the full parser and running it once takes about as long as starting Node does.
 */
export function readEverydayYaml(source: Source, limits: YamlLimits): Document | undefined {
  const { text } = source;
  if (text.length > limits.bytes || odd.test(text)) return undefined;
  const data = new EverydayReader(text, limits).read();
  if (data === undefined) return undefined;
  let places: Places | undefined;
  const locate = (path: Path, part: 'key' | 'value'): Span => {
    places ??= placesIn(text, limits);
    return locateIn(places, path, part);
  };
  return { source, data, locate };
}

interface Entry {
  readonly key: Span;
  readonly value: Span;
}

/** The entries of each map and list below the root. */
interface Places {
  readonly root: unknown;
  readonly entries: ReadonlyMap<unknown, ReadonlyMap<string | number, Entry>>;
}

/** Reads the text once more, now noting places: on the happy path nobody asks for them. */
function placesIn(text: string, limits: YamlLimits): Places {
  const entries = new Map<unknown, Map<string | number, Entry>>();
  const reader = new EverydayReader(text, limits, (collection, step, keyStart, keyEnd, start, end) => {
    let inside = entries.get(collection);
    if (inside === undefined) {
      inside = new Map();
      entries.set(collection, inside);
    }
    const key = { start: keyStart, end: keyEnd };
    // An empty value has no place of its own.
    inside.set(step, { key, value: end > start ? { start, end } : key });
  });
  return { root: reader.read(), entries };
}

function locateIn({ root, entries }: Places, path: Path, part: 'key' | 'value'): Span {
  let node = root;
  const [first] = entries.get(root)?.values() ?? [];
  let place = first?.key ?? { start: 0, end: 0 };
  for (const [depth, step] of path.entries()) {
    const entry = entries.get(node)?.get(step);
    if (entry === undefined) return place;
    place = part === 'value' && depth === path.length - 1 ? entry.value : entry.key;
    node = (node as Record<string | number, unknown>)[step];
  }
  return place;
}
