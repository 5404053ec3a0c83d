// Bundles a script of the tests and runs it: `npm run bench`, `npm run bench -- trial`, `npm run readings -- FILE`,
// `npm run examples`.
// Sources are TypeScript, which Node 20 does not run by itself.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = fileURLToPath(new URL('..', import.meta.url));
const [what = 'bench', ...given] = process.argv.slice(2);
const [name = 'all', ...rest] = what === 'bench' ? given : [what, ...given];
const scripts = {
  bench: {
    all: 'tests/bench/all.ts',
    start: 'tests/bench/start.ts',
    solve: 'tests/bench/solve.ts',
    faults: 'tests/bench/faults.ts',
    screen: 'tests/bench/screen.ts',
    trial: 'tests/bench/trial.ts',
    healthy: 'tests/bench/healthy.ts',
    batch: 'tests/bench/batch.ts',
    scale: 'tests/bench/scale.ts',
  },
  readings: { readings: 'tests/examples/fill-readings.ts' },
  examples: { examples: 'tests/examples/write-readme.ts' },
};
const known = scripts[what];
if (!Object.hasOwn(known, name)) {
  console.error(`no ${name}; there are ${Object.keys(known).join(', ')}`);
  process.exit(2);
}
const folder = mkdtempSync(join(tmpdir(), 'loadside-bench-'));
try {
  const outfile = join(folder, `${name}.cjs`);
  await build({
    absWorkingDir: root,
    entryPoints: [known[name]],
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
