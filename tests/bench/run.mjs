// Bundles a benchmark and runs it: `npm run bench`. Sources are TypeScript, which Node 20 does not run by itself.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = fileURLToPath(new URL('../..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'loadside-bench-'));
try {
  for (const name of ['solve', 'screen']) {
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
    execFileSync(process.execPath, [outfile], { stdio: 'inherit', cwd: root });
  }
} finally {
  rmSync(folder, { recursive: true });
}
