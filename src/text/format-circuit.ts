import { formatYaml } from './format-yaml.js';
import { limits } from './limits.js';
import { readEitherYaml } from './read-either-yaml.js';
import type { Source } from './source.js';

/**
 * A circuit file in the one layout (`formatYaml`). The source must be one that was read without a problem. Throws an
 * `Error`, for that would be a defect of ours, rather than give a text that says anything else than the source.
 */
export function formatCircuit(source: Source): string {
  const text = formatYaml(source.text);
  const data = (each: Source) =>
    JSON.stringify(readEitherYaml(each, { ...limits, bytes: limits.circuitBytes }).document?.data);
  const before = data(source);
  if (before === undefined || before !== data({ ...source, text }))
    throw new Error('laid out anew, a file would say something else');
  return text;
}
