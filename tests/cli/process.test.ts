import { execFile, spawn, spawnSync } from 'node:child_process';
import {
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { hood, hoodText, ovenGood, textOf } from './example-files.js';
import { root, run } from './run.js';
import { hums } from './small-circuits.js';

const bin = join(root, 'bin/loadside.js');
const warmer = 'tests/cli/dish-warmer.exercise.yaml';
const limit = { timeout: 30_000 } as const;

let folder = '';
/** A small circuit and a reading that differs, where any will do: most of the time is then the start. */
let small = '';
let differs = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'loadside-'));
  small = join(folder, 'small.circuit.yaml');
  differs = join(folder, 'differs.readings.yaml');
  writeFileSync(small, hums);
  writeFileSync(
    differs,
    'loadside: readings/1\ncircuit: small.circuit.yaml\nreadings: [{ in: {}, red: OL.2, black: S.N, reads: 0 V }]\n',
  );
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Child {
  readonly status: number | null;
  readonly out: string;
  readonly err: string;
}

/** The real program, from the package's folder, without a terminal. */
function loadside(args: readonly string[], input = '', env: Record<string, string> = {}): Child {
  const child = spawnSync(process.execPath, [bin, ...args], {
    cwd: root,
    input,
    encoding: 'utf8',
    maxBuffer: 1e9,
    env: { PATH: process.env['PATH'] ?? '', ...env },
  });
  return { status: child.status, out: child.stdout, err: child.stderr };
}

/** A line of bash with the program as `loadside`; `status` is that of the program, wherever in a pipe it stands. */
function bash(line: string): Child {
  const script = `loadside() { "${process.execPath}" "${bin}" "$@"; }; cd "${root}"; ${line}`;
  const child = spawnSync('bash', ['--norc', '-c', script], {
    encoding: 'utf8',
    maxBuffer: 1e9,
    env: { PATH: process.env['PATH'] ?? '' },
  });
  return { status: child.status, out: child.stdout, err: child.stderr };
}

describe('the program as it is run', () => {
  test('says and returns what it does in process', { timeout: 120_000 }, async () => {
    // Every command once, and every exit status; batch has a test of its own.
    const calls = [
      ['check', differs],
      ['check', 'nowhere.yaml'],
      ['complete', 'trace', small, ':'],
      ['completion', 'bash'],
      ['diff', small, small],
      ['draw', small, '--format', 'terminal'],
      ['expect', small],
      ['faults', small, '--min-isolable', '100'],
      ['format', '--check', small],
      ['help', 'pins'],
      ['new', '--load', 'lamp'],
      ['next', differs],
      ['pins', hood],
      ['practice', 'try', warmer, '--do', 'history'],
      ['report', differs],
      ['rules', 'node-dangling'],
      ['schema', 'circuit'],
      ['sheet', small],
      ['trace', small, 'M'],
      ['validate', small],
      ['bogus'],
    ];
    const statuses = new Map<string, number>();
    for (const args of calls) {
      const { status, out, err } = await run(args);
      statuses.set(args.join(' '), status);
      expect([args, loadside(args)]).toEqual([args, { status, out, err }]);
    }
    expect([...statuses].filter(([, status]) => status === 2)).toEqual([
      ['check nowhere.yaml', 2],
      ['bogus', 2],
    ]);
    expect(statuses.get(`check ${differs}`)).toBe(1);
    const { out } = await run(['--help']);
    const commands = [...out.matchAll(/^ {2}([a-z]+) +[A-Z<[]/gm)].map(([, name]) => name);
    expect(new Set(commands)).toEqual(
      new Set(
        [...calls.map(([name]) => name), 'batch'].filter((name) => !/^(?:complete|bogus)$/.test(name ?? '')),
      ),
    );
  });

  test('tells the version of the package', () => {
    expect(loadside(['--version'])).toEqual({
      status: 0,
      out: `${JSON.parse(textOf('package.json')).version}\n`,
      err: '',
    });
    const { tool } = JSON.parse(loadside(['pins', hood, '--format', 'json']).out);
    expect(tool.version).toBe(JSON.parse(textOf('package.json')).version);
  });

  test('runs by its own first line', () => {
    expect(statSync(bin).mode & 0o111).not.toBe(0);
    expect(readFileSync(bin, 'utf8')).toMatch(/^#!\/usr\/bin\/env node\n/);
  });

  test('starts from any folder, and reads a pipe, a file descriptor and a name with blanks', limit, () => {
    const named = join(folder, 'a b.circuit.yaml');
    writeFileSync(named, hums);
    for (const call of [
      `cd "${folder}" && loadside validate "a b.circuit.yaml"`,
      `cat ${small} | loadside validate -`,
      `(sleep 0.3; cat ${small}) | loadside validate -`,
      `loadside validate - < ${small}`,
      `loadside validate <(cat ${small})`,
      `loadside validate /dev/stdin < ${small}`,
    ]) {
      expect([call, bash(call)]).toMatchObject([call, { status: 0, err: '' }]);
    }
  });

  test('a device that never ends is refused at once', limit, () => {
    for (const args of [
      ['validate', '/dev/zero'],
      ['check', '/dev/zero'],
    ]) {
      const { status, out, err } = loadside(args);
      expect(status).toBe(2);
      expect(out + err).toMatch(/^\/dev\/zero:1:1: error: the file is too big/m);
    }
  });

  test('a file that may not be read', limit, () => {
    const loop = join(folder, 'loop.yaml');
    symlinkSync(loop, loop);
    for (const path of [loop, join(hood, 'x.yaml'), folder]) {
      const { status, out, err } = loadside(['check', path]);
      expect([status, out]).toEqual([2, '']);
      expect(err).toContain(path);
      expect(err).not.toMatch(/unknown reason|\n\s+at /);
    }
  });

  test('no standard input is nothing, and no hang', limit, () => {
    const { status, out } = bash('loadside validate - < /dev/null');
    expect([status, /standard input:1:1: error/.test(out)]).toEqual([2, true]);
  });
});

/** Each is 300 bytes of JSON; a pipe holds 64 KiB. */
function manyReadings(count: number): string {
  const path = join(folder, 'many.readings.csv');
  writeFileSync(path, `in,red,black,on,reads,input,note\n${',CTL.L,CTL.N,,121 V,,\n'.repeat(count)}`);
  return path;
}

describe('pipes', () => {
  test('a long answer comes whole', limit, () => {
    const path = manyReadings(4_000);
    const { status, out, err } = bash(
      `loadside check ${path} -c ${hood} -f json | cat; exit \${PIPESTATUS[0]}`,
    );
    expect([status, err]).toEqual([0, '']);
    expect(out.length).toBeGreaterThan(1_048_576);
    expect(JSON.parse(out).readings).toHaveLength(4_000);
  });

  test(
    'so it does where another program has the same pipe, and made it one that waits for nobody',
    limit,
    () => {
      const path = manyReadings(1_000);
      const other = `"${process.execPath}" -e "process.stdout.write(''); setTimeout(() => {}, 4000)"`;
      const call = `loadside check ${path} -c ${hood} -f json`;
      const { out, err } = bash(`{ ${other} & sleep 1; ${call}; kill $!; } | (sleep 3; cat)`);
      expect(err).toBe('');
      expect(out).toBe(bash(call).out);
      expect(out.length).toBeGreaterThan(200_000);
    },
  );

  test('a reader that has seen enough ends it quietly', limit, () => {
    // Twice what a pipe holds.
    const path = manyReadings(400);
    for (const [reader, statuses] of [
      ['head -n 1 > /dev/null', [0, 141]],
      ['true', [141]],
      ['head -c 10000 > /dev/null', [0, 141]],
    ] as const) {
      const { status, err } = bash(
        `loadside check ${path} -c ${hood} -f json | ${reader}; exit \${PIPESTATUS[0]}`,
      );
      expect([reader, err, statuses]).toEqual([reader, '', expect.arrayContaining([status])]);
    }
    expect(bash(`loadside check nowhere.yaml 2>&1 >/dev/null | true`).err).toBe('');
  });

  test('an answer that can be written nowhere is no finding', limit, () => {
    const { status, err } = bash(`loadside check ${ovenGood} > /dev/full`);
    expect(status).toBe(2);
    expect(err).not.toMatch(/\n\s+at |node:/);
    expect(err).toMatch(/full|written/);
  });
});

describe('--output', () => {
  test('is whole, equal to what the screen gets, and leaves nothing else behind', limit, async () => {
    const target = join(folder, 'out', '..', 'answer.txt');
    const plain = await run(['pins', hood]);
    for (const old of [undefined, 'old']) {
      if (old !== undefined) writeFileSync(target, old);
      const { status, out } = loadside(['pins', hood, '--output', target]);
      expect([status, out]).toEqual([0, '']);
      expect(readFileSync(target, 'utf8')).toBe(plain.out);
    }
    expect(readdirSync(folder).filter((name) => name.includes('tmp'))).toEqual([]);
  });

  test('goes through a link, and into a pipe or a device', limit, async () => {
    const plain = await run(['pins', hood]);
    const real = join(folder, 'real.txt');
    const link = join(folder, 'link.txt');
    writeFileSync(real, 'old');
    symlinkSync(real, link);
    loadside(['pins', hood, '--output', link]);
    expect(readFileSync(real, 'utf8')).toBe(plain.out);
    expect(bash(`loadside pins ${hood} --output /dev/stdout | cat`).out).toBe(plain.out);
    expect(loadside(['pins', hood, '--output', '/dev/full'])).toMatchObject({
      status: 2,
      err: expect.stringContaining('full'),
    });
  });

  test('keeps the old file where the new one cannot be', limit, () => {
    for (const target of [join(folder, 'nowhere/a.txt'), folder, join(hood, 'a.txt')]) {
      const { status, out, err } = loadside(['pins', hood, '--output', target]);
      expect([status, out]).toEqual([2, '']);
      expect(err).toContain(target);
      expect(err).not.toMatch(/unknown reason|\n\s+at /);
    }
    expect(textOf(hood)).toBe(hoodText);
    expect(readdirSync(folder).filter((name) => name.includes('tmp'))).toEqual([]);
  });

  test('never goes over an input, whatever name it is given', limit, () => {
    const input = join(folder, 'input.circuit.yaml');
    const link = join(folder, 'other-name.yaml');
    writeFileSync(input, hoodText);
    symlinkSync(input, link);
    for (const target of [
      input,
      link,
      join(folder, '..', folder.split('/').at(-1) ?? '', 'input.circuit.yaml'),
    ]) {
      expect(loadside(['pins', input, '--output', target]).status).toBe(2);
      expect(readFileSync(input, 'utf8')).toBe(hoodText);
    }
  });

  test('five at once: the file is one answer whole', limit, async () => {
    const target = join(folder, 'race.json');
    const calls = Array.from({ length: 5 }, (_, index) =>
      promisify(execFile)(
        process.execPath,
        [bin, ...(index % 2 === 0 ? ['pins', hood] : ['expect', hood]), '-f', 'json', '-o', target],
        { cwd: root },
      ),
    );
    await Promise.all(calls);
    expect(['pins', 'expect']).toContain(JSON.parse(readFileSync(target, 'utf8')).command);
    expect(readdirSync(folder).filter((name) => name.includes('tmp'))).toEqual([]);
  });
});

describe('signals', () => {
  test.each([
    ['SIGINT', 130],
    ['SIGTERM', 143],
  ] as const)('%s ends it at once and says no verdict', limit, async (signal, code) => {
    // A standard input that never comes keeps it waiting.
    const child = spawn(process.execPath, [bin, 'validate', '-'], {
      cwd: root,
      stdio: ['pipe', 'pipe', 'pipe'],
    });
    let out = '';
    child.stdout.on('data', (chunk) => {
      out += chunk;
    });
    await new Promise((resolve) => setTimeout(resolve, 500));
    child.kill(signal);
    const [status, by] = await new Promise<[number | null, string | null]>((resolve) =>
      child.on('exit', (...ended) => resolve(ended)),
    );
    expect(status === code || by === signal).toBe(true);
    expect(out).toBe('');
  });
});

describe('terminals', () => {
  const hasScript = spawnSync('script', ['--version']).status === 0;

  // Every order of precedence is in terminal.test.ts: here, that the terminal and the environment are looked at.
  test.runIf(hasScript)('colour follows a real terminal and the environment', limit, () => {
    const shown = (env: string) =>
      bash(
        `export ${env}; script -qec "\\"${process.execPath}\\" \\"${bin}\\" check ${differs}" /dev/null < /dev/null`,
      ).out;
    // biome-ignore lint/suspicious/noControlCharactersInRegex: escapes are what colours are made of
    const colour = /\u001b\[/;
    expect(shown('TERM=xterm')).toMatch(colour);
    expect(shown('TERM=dumb')).not.toMatch(colour);
    expect(shown('TERM=xterm NO_COLOR=1')).not.toMatch(colour);
    expect(loadside(['check', differs]).out).not.toMatch(colour);
    expect(loadside(['check', differs], '', { FORCE_COLOR: '1' }).out).toMatch(colour);
  });

  test.runIf(hasScript)('lines are not folded to single words where the terminal has no width', limit, () => {
    const { out } = bash(
      `script -qec "\\"${process.execPath}\\" \\"${bin}\\" check ${ovenGood} --no-color" /dev/null < /dev/null`,
    );
    expect(out.replaceAll('\r', '')).toBe(loadside(['check', ovenGood]).out);
  });
});
