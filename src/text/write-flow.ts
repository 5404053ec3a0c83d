/** Words that YAML 1.2 takes for something else than text, in any letter case it knows. */
const reserved = /^(?:null|true|false|~)$/i;

/** Text that stands without quotes in a flow map: words that begin with a letter, or a number with its unit. */
const plain = /^(?:[A-Za-z][\w./+-]*(?:[ :][\w./+-]+)*|-?\d+(?:\.\d+)?(?: [A-Za-z]+)+)$/;

/**
 * Plain data (maps, lists, texts, finite numbers, null) on one line of YAML: `{ in: bake, reads: 0.1 V }`. Reading it
 * gives the same again.
 */
export function writeFlow(data: unknown): string {
  if (Array.isArray(data)) return `[${data.map(writeFlow).join(', ')}]`;
  if (typeof data === 'object' && data !== null) {
    const entries = Object.entries(data).map(([key, value]) => `${writeFlow(key)}: ${writeFlow(value)}`);
    return entries.length === 0 ? '{}' : `{ ${entries.join(', ')} }`;
  }
  if (typeof data !== 'string') return String(data);
  if (plain.test(data) && !reserved.test(data)) return data;
  // As JSON writes it, in one kind of quotes or the other: the everyday reader takes those without a backslash.
  const quoted = JSON.stringify(data);
  return quoted.includes('\\') && !/[^\x20-\x7e]|'/.test(data) ? `'${data}'` : quoted;
}
