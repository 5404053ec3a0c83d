/** The batch as it is installed: workers, signals, pipes, memory, and under other programs. */
import { execFile, spawn, spawnSync } from 'node:child_process';
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { textOf } from '../example-files.js';
import { root } from '../run.js';
import { railJob, shown } from './small-batch.js';

const bin = join(root, 'bin/loadside.js');
const script = `loadside() { "${process.execPath}" "${bin}" "$@"; }; export -f loadside`;

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'loadside-batch-'));
  for (const [name, text] of Object.entries(shown)) writeFileSync(join(folder, name), text);
  const jobs = Array.from({ length: 200 }, (_, index) => `${railJob(index, index % 3 === 0 ? 12 : 231)}\n`);
  writeFileSync(join(folder, 'jobs.ndjson'), jobs.join(''));
  writeFileSync(join(folder, 'some.ndjson'), jobs.slice(0, 24).join(''));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function bash(line: string): Promise<{ status: number; stdout: string; stderr: string }> {
  const options = { cwd: folder, maxBuffer: 1e9, env: { PATH: process.env['PATH'] ?? '', HOME: folder } };
  try {
    return {
      status: 0,
      ...(await promisify(execFile)('bash', ['--norc', '-c', `${script}; ${line}`], options)),
    };
  } catch (error) {
    const { code, stdout, stderr } = error as { code: number; stdout: string; stderr: string };
    return { status: code, stdout, stderr };
  }
}

/** What one process says to some of the jobs. */
let alone: ReturnType<typeof bash> | undefined;
function saidAlone(): ReturnType<typeof bash> {
  alone ??= bash('loadside batch - -j 1 < some.ndjson');
  return alone;
}

test('two workers say what one process says, byte by byte', async () => {
  const one = await saidAlone();
  const two = await bash('loadside batch - -j 2 < some.ndjson');
  expect(two).toEqual(one);
  expect(one.stderr).toBe('24 jobs: 16 agree, 8 bounded.\n');
  expect(one.status).toBe(1);
});

describe('stopped midway, it leaves whole lines', () => {
  test.each([
    ['SIGINT', 130, 1],
    ['SIGTERM', 143, 2],
  ] as const)('by %s (%s), %s at once', async (signal, code, jobs) => {
    const child = spawn(process.execPath, [bin, 'batch', '-', '-j', String(jobs), '-q'], {
      cwd: folder,
      stdio: ['pipe', 'pipe', 'inherit'],
    });
    let out = '';
    child.stdin.on('error', () => {});
    child.stdin.write(readFileSync(join(folder, 'jobs.ndjson')));
    const ended = new Promise<number | null>((resolve) => child.on('close', resolve));
    await new Promise<void>((resolve) =>
      child.stdout.setEncoding('utf8').on('data', (text: string) => {
        out += text;
        if (out.length > 10_000) resolve();
      }),
    );
    child.kill(signal);
    expect(await ended).toBe(code);
    const lines = out.split('\n');
    expect(lines.pop()).toBe('');
    expect(lines.map((line) => JSON.parse(line).job.id)).toEqual([...lines.keys()]);
    expect(lines.length).toBeLessThan(200);
  });

  test('by SIGKILL, which lets nothing be put in order', async () => {
    const answers = join(folder, 'killed.ndjson');
    const child = spawn(
      'bash',
      ['-c', `exec "${process.execPath}" "${bin}" batch - -q < jobs.ndjson > killed.ndjson`],
      {
        cwd: folder,
        stdio: 'ignore',
      },
    );
    const ended = new Promise((resolve) => child.on('close', resolve));
    while ((statSync(answers, { throwIfNoEntry: false })?.size ?? 0) < 10_000)
      await new Promise((resolve) => setTimeout(resolve, 5));
    child.kill('SIGKILL');
    await ended;
    const lines = readFileSync(answers, 'utf8').split('\n');
    expect(lines.pop()).toBe('');
    expect(lines.map((line) => JSON.parse(line).job.id)).toEqual([...lines.keys()]);
  });

  test('and of the file of --output nothing', async () => {
    const child = spawn(process.execPath, [bin, 'batch', '-', '-j', '1', '-o', 'answers.ndjson'], {
      cwd: folder,
      stdio: ['pipe', 'ignore', 'ignore'],
    });
    child.stdin.on('error', () => {});
    child.stdin.write(readFileSync(join(folder, 'some.ndjson')));
    const isThere = () => readdirSync(folder).some((name) => name.endsWith('.loadside-tmp'));
    while (!isThere()) await new Promise((resolve) => setTimeout(resolve, 20));
    child.kill('SIGTERM');
    expect(await new Promise((resolve) => child.on('close', resolve))).toBe(143);
    expect(readdirSync(folder).filter((name) => name.includes('answers.ndjson'))).toEqual([]);
  });

  test('a reader that has seen enough ends it quietly', async () => {
    const { status, stdout, stderr } = await bash(
      `loadside batch - -q < jobs.ndjson | head -n 2; exit \${PIPESTATUS[0]}`,
    );
    expect([status, stderr]).toEqual([141, '']);
    expect(stdout.split('\n').map((line) => line && JSON.parse(line).job.id)).toEqual([0, 1, '']);
  });
});

test('a line is answered before the next one comes', async () => {
  const child = spawn(process.execPath, [bin, 'batch', '-', '-q'], {
    cwd: folder,
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  for (const id of [0, 1, 2, 3, 4]) {
    child.stdin.write(`${railJob(id, 231)}\n`);
    const [line] = await new Promise<string[]>((resolve) =>
      child.stdout.setEncoding('utf8').once('data', (text: string) => resolve(text.split('\n'))),
    );
    expect(JSON.parse(line ?? '').job.id).toBe(id);
  }
  child.stdin.end();
  expect(await new Promise((resolve) => child.on('close', resolve))).toBe(0);
});

test('memory does not grow with the input', async () => {
  // 60 MB of lines through a heap of 40 MB.
  const lines = `yes "$(printf '%010000d' 0 | tr 0 '{')" | head -n 6000`;
  const { status, stdout } = await bash(
    `${lines} | NODE_OPTIONS=--max-old-space-size=40 loadside batch - -q -j 1 | grep -c '"json-syntax"'; exit \${PIPESTATUS[2]}`,
  );
  expect([status, stdout]).toEqual([2, '6000\n']);
});

test('a job that takes its thread down is a defect by itself', async () => {
  const broken = join(folder, 'broken');
  mkdirSync(broken);
  for (const part of ['bin', 'dist', 'package.json'])
    cpSync(join(root, part), join(broken, part), { recursive: true });
  spawnSync('ln', ['-s', join(root, 'node_modules'), join(broken, 'node_modules')]);
  writeFileSync(
    join(broken, 'bin/work.js'),
    `const { answerJobs } = require('./load.js').load('everyday');
module.exports.answerJobs = (task) =>
  task.jobs.some(({ line }) => Buffer.from(line.bytes).includes('"id":7,')) ? process.exit(9) : answerJobs(task);`,
  );
  const { status, stdout, stderr } = await bash(
    `head -n 20 some.ndjson | "${process.execPath}" "${join(broken, 'bin/loadside.js')}" batch - -j 2`,
  );
  const answers = stdout
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line));
  expect(answers.filter(({ verdict }) => verdict === 'defect').map(({ job }) => job)).toEqual([{ line: 8 }]);
  expect(answers.map(({ job }) => job.line)).toEqual(Array.from({ length: 20 }, (_, index) => index + 1));
  expect(status).toBe(70);
  expect(stderr).toMatch(/a defect in loadside at .*\n20 jobs: .*1 ended by a defect/);
});

describe('as its page says', () => {
  const page = textOf('docs/batch.md');
  const hasParallel = spawnSync('parallel', ['--version']).status === 0;

  test('under GNU parallel', async ({ skip }) => {
    if (!hasParallel) skip('GNU parallel is not installed (apt-get install parallel)');
    const [line = ''] = /^parallel --pipe .*$/m.exec(page) ?? [];
    const given = line.replace('--block 1M', '--block 8k').replaceAll('jobs.ndjson', 'some.ndjson');
    expect(given).toContain('-j');
    const { stderr } = await bash(`${given}`);
    expect(stderr).not.toMatch(/error|not found/i);
    const own = (text: string) =>
      text
        .trimEnd()
        .split('\n')
        .map((each) => ({ ...JSON.parse(each), job: { id: JSON.parse(each).job.id } }));
    expect(own(readFileSync(join(folder, 'answers.ndjson'), 'utf8'))).toEqual(
      own((await saidAlone()).stdout),
    );
  });

  test('as an indexed job, whose findings are no failure', async () => {
    const [, manifest = ''] = /^```yaml\n(apiVersion[\s\S]*?)^```$/m.exec(page) ?? [];
    const { spec } = parse(manifest);
    const { command, args } = spec.template.spec.containers[0];
    expect([command, spec.completionMode]).toEqual([['sh', '-c'], 'Indexed']);
    mkdirSync(join(folder, 'data/answers'), { recursive: true });
    cpSync(join(folder, 'towel-rail.circuit.yaml'), join(folder, 'data/towel-rail.circuit.yaml'));
    mkdirSync(join(folder, 'data/visits'));
    for (const name of ['a', 'b', 'c'])
      writeFileSync(
        join(folder, `data/visits/${name}.readings.yaml`),
        (shown['cold-rail.readings.yaml'] ?? '').replace('circuit: ', 'circuit: ../'),
      );
    for (const index of [0, 1, 7]) {
      const { status, stderr } = await bash(
        `JOB_COMPLETION_INDEX=${index} bash -c '${args[0].replaceAll('/data', 'data').replaceAll("'", "'\\''")}'`,
      );
      expect([index, status, stderr]).toEqual([index, 0, '']);
    }
    const paths = (index: number) =>
      readFileSync(join(folder, `data/answers/${index}.ndjson`), 'utf8')
        .split('\n')
        .map((line) => line && JSON.parse(line).job.path);
    expect([0, 1, 7].map(paths)).toEqual([
      ['data/visits/a.readings.yaml', ''],
      ['data/visits/b.readings.yaml', ''],
      [''],
    ]);
  });

  test('as a matrix whose shards are as many as it says', () => {
    const [, matrix = ''] = /^```yaml\n(jobs:[\s\S]*?)^```$/m.exec(page) ?? [];
    const { strategy, steps } = parse(matrix).jobs.check;
    const run = steps.find((step: { run?: string }) => step.run?.includes('batch')).run;
    expect(run).toContain(`--shard \${{ matrix.shard }}/${strategy.matrix.shard.length}`);
    expect(strategy.matrix.shard).toEqual(
      Array.from({ length: strategy.matrix.shard.length }, (_, index) => index + 1),
    );
  });
});
