import { cpSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { textOf } from '../cli/example-files.js';
import { root } from '../cli/run.js';

/** A folder of somebody who has installed the package, with the files the README shows. */
export function consumerFolder(): { readonly path: string; readonly remove: () => void } {
  const path = mkdtempSync(join(tmpdir(), 'loadside-user-'));
  mkdirSync(join(path, 'node_modules'));
  symlinkSync(root, join(path, 'node_modules/loadside'));
  cpSync(join(root, 'examples/range-hood'), path, { recursive: true });
  for (const [, name = '', body = ''] of textOf('README.md').matchAll(/^```yaml\n# (\S+)\n([\s\S]*?)^```$/gm))
    writeFileSync(join(path, name), body);
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}
