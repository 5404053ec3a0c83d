// Bundles a benchmark and runs it: `npm run bench`, or `npm run bench -- trial` for another. Sources are TypeScript,
// which Node 20 does not run by itself.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = fileURLToPath(new URL('../..', import.meta.url));
const [name = 'solve', ...rest] = process.argv.slice(2);
const known = ['solve', 'screen', 'trial', 'healthy', 'batch'];
if (!known.includes(name) || !existsSync(join(root, 'tests/bench', `${name}.ts`))) {
  console.error(`no benchmark ${name}; there are ${known.join(', ')}`);
  process.exit(2);
}
const folder = mkdtempSync(join(tmpdir(), 'loadside-bench-'));
try {
  const outfile = join(folder, `${name}.cjs`);
  await build({
    absWorkingDir: root,
    entryPoints: [`tests/bench/${name}.ts`],
    bundle: true,
    platform: 'node',
    target: 'node20',
    outfile,
    logLevel: 'warning',
  });
  const { status } = spawnSync(process.execPath, [outfile, ...rest], { stdio: 'inherit', cwd: root });
  process.exitCode = status ?? 1;
} finally {
  rmSync(folder, { recursive: true });
}
