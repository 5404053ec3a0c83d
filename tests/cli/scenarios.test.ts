/** Every scenario, with the program as it is installed, in a folder of its own. UPDATE_GOLDEN=1 writes what was printed. */
import { spawn, spawnSync } from 'node:child_process';
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

const update = process.env['UPDATE_GOLDEN'] === '1';
const home = join(root, 'tests/cli/scenarios');
const bin = join(root, 'bin/loadside.js');

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

/** What a line of bash prints, without a newline at its very end where it had none: sections are whole lines. */
function ran(folder: string, run: ScenarioRun): Promise<ScenarioRun> {
  const script = `loadside() { "${process.execPath}" "${bin}" "$@"; }; export -f loadside; ${run.line}`;
  const child = spawn('bash', ['--norc', '-c', script], {
    cwd: folder,
    env: { PATH: process.env['PATH'] ?? '', HOME: folder, LANG: 'C.UTF-8' },
  });
  const said = { stdout: '', stderr: '' };
  child.stdout.setEncoding('utf8').on('data', (text: string) => (said.stdout += text));
  child.stderr.setEncoding('utf8').on('data', (text: string) => (said.stderr += text));
  child.stdin.on('error', () => undefined).end(run.stdin);
  return new Promise((done) =>
    child.on('close', (status) => done({ ...run, ...said, status: status ?? undefined })),
  );
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
    for (const run of scenario.runs) runs.push(await ran(folder, run));
    const found = writeScenario({ ...scenario, runs });
    if (update) writeFileSync(join(home, name), found);
    else expect(found).toBe(text);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
