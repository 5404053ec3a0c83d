import type { YamlLimits } from './limits.js';
import { readEverydayYaml } from './read-everyday-yaml.js';
import { type ReadYaml, readYaml } from './read-yaml.js';
import type { Source } from './source.js';

/**
 * Reads YAML like `readYaml`, and gives the same: everyday files take the short road, anything odd takes the full
 * one. So does the first question for a place, which is asked only when something is wrong.
 */
export function readEitherYaml(source: Source, limits: YamlLimits): ReadYaml {
  const data = readEverydayYaml(source.text, limits);
  if (data === undefined) return readYaml(source, limits);
  let full: ReadYaml | undefined;
  const document: ReadYaml['document'] = {
    source,
    data,
    locate: (path, part) => {
      full ??= readYaml(source, limits);
      if (full.document === undefined)
        throw new Error('the full reader refuses what the everyday one has read');
      return full.document.locate(path, part);
    },
  };
  return { document, problems: [] };
}
