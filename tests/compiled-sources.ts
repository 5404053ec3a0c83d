/**
 * The sources as Node loads them by itself. Vitest's own loader reads every import where it is used, through a getter
 * for each call from one module to another, and transforms each file: a third more of processor time.
 */
import {
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import type { Plugin } from 'vitest/config';

const root = fileURLToPath(new URL('..', import.meta.url));
const sources = join(root, 'src');
const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
/** As the build has it. */
const define = { LOADSIDE_VERSION: JSON.stringify(version) };

/** Has tests import src/ as JavaScript compiled file by file; not while watching, nor where lines are counted. */
export function compiledSources(): Plugin {
  let compiled: string | undefined;
  return {
    name: 'compiled-sources',
    enforce: 'pre',
    config: () => ({ define }),
    async configureVitest({ vitest }) {
      if (vitest.config.watch || vitest.config.coverage.enabled) return;
      // A folder for this run alone, for others may be under way, that finds the packages without a link: through one,
      // Node 20 can hand out a package of CommonJS with nothing in it.
      const folder = mkdtempSync(join(realpathSync(join(root, 'node_modules')), '.loadside-sources-'));
      process.once('exit', () => rmSync(folder, { recursive: true }));
      writeFileSync(join(folder, 'package.json'), '{ "type": "module" }\n');
      await build({
        absWorkingDir: root,
        entryPoints: readdirSync(sources, { recursive: true, encoding: 'utf8' })
          .filter((name) => /(?<!\.d)\.[jt]s$/.test(name))
          .map((name) => join(sources, name)),
        outdir: folder,
        outbase: sources,
        format: 'esm',
        target: 'node20',
        define,
        sourcemap: 'linked',
        logLevel: 'warning',
      });
      compiled = folder;
    },
    resolveId(id, importer) {
      if (compiled === undefined || importer === undefined || !id.startsWith('.')) return null;
      const path = resolve(dirname(importer), id);
      const file = path.startsWith(sources) ? join(compiled, path.slice(sources.length)) : undefined;
      return file !== undefined && existsSync(file) ? file : null;
    },
  };
}
