/** Every scenario, in a folder of its own. UPDATE_GOLDEN=1 writes what was printed. */
import { spawnSync } from 'node:child_process';
import {
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { expect, test } from 'vitest';
import { readScenario, type ScenarioFile, type ScenarioRun, writeScenario } from './read-scenario.js';
import { root } from './run.js';
import { runLine } from './run-line.js';

const update = process.env['UPDATE_GOLDEN'] === '1';
const home = join(root, 'tests/cli/scenarios');

function put(folder: string, file: ScenarioFile): void {
  const path = join(folder, file.name);
  mkdirSync(dirname(path), { recursive: true });
  if ('copyOf' in file) copyFileSync(join(root, file.copyOf), path);
  else writeFileSync(path, file.text);
}

/** So that a script of the scenario can import the package. */
function install(folder: string): void {
  mkdirSync(join(folder, 'node_modules'));
  symlinkSync(root, join(folder, 'node_modules/loadside'));
}

test.for(readdirSync(home).sort())('%s', async (name, { skip }) => {
  const text = readFileSync(join(home, name), 'utf8');
  const scenario = readScenario(text);
  const missing = scenario.needs.filter((need) => spawnSync(need, ['--version']).error !== undefined);
  if (missing.length > 0) skip(`not installed: ${missing.join(', ')}`);
  const folder = mkdtempSync(join(tmpdir(), 'loadside-'));
  try {
    for (const file of scenario.files) put(folder, file);
    if (text.includes("from 'loadside'")) install(folder);
    const runs: ScenarioRun[] = [];
    for (const run of scenario.runs) runs.push({ ...run, ...(await runLine(run.line, folder, run.stdin)) });
    const found = writeScenario({ ...scenario, runs });
    if (update) writeFileSync(join(home, name), found);
    else expect(found).toBe(text);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
