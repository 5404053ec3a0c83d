import { describe, expect, test } from 'vitest';
import { hood, hoodText, lostLeg, noFan, oven, ovenGood, textOf } from './example-files.js';
import { type Answer, jsonOf, run } from './run.js';
import { hums } from './small-circuits.js';

const commands = ['validate', 'expect', 'trace', 'pins', 'faults', 'check', 'next'] as const;

/** What each command is given so that it can run. */
const given: Readonly<Record<(typeof commands)[number], readonly string[]>> = {
  validate: [hood],
  expect: [hood],
  trace: [hood, 'FAN'],
  pins: [hood],
  faults: [oven],
  check: [ovenGood],
  next: [ovenGood],
};

/** A line of a shell, without quotes in it, as arguments. `*` stands for the files of the folder, as a shell has it. */
function argumentsOf(line: string): string[] {
  return line
    .trim()
    .split(/\s+/)
    .slice(1)
    .flatMap((word) => (word === '*.circuit.yaml' ? ['range-hood.circuit.yaml'] : [word]));
}

function examplesIn(help: string): string[] {
  return help.split('\n').filter((line) => /^ {2}loadside [a-z]/.test(line));
}

describe('help', () => {
  test('of the program is the same however it is asked for, on standard output, exit 0', async () => {
    const { status, out, err } = await run(['--help']);
    expect([status, err]).toEqual([0, '']);
    for (const args of [['-h'], ['help']]) expect(await run(args)).toMatchObject({ status: 0, out, err: '' });
    for (const command of commands) expect(out).toMatch(new RegExp(`^ {2}${command} `, 'm'));
    for (const status of [0, 1, 2, 3, 70]) expect(out).toMatch(new RegExp(`\\b${status} `));
  });

  test.each(commands)('of %s likewise', async (command) => {
    const { status, out, err } = await run([command, '--help']);
    expect([status, err]).toEqual([0, '']);
    for (const args of [
      [command, '-h'],
      ['help', command],
      [command, ...given[command], '--help'],
    ]) {
      expect(await run(args)).toMatchObject({ status: 0, out, err: '' });
    }
    expect(out).toContain(`Usage: loadside ${command} `);
  });

  test('nothing asked for: short help on standard error, exit 2', async () => {
    const { status, out, err } = await run([]);
    expect([status, out]).toEqual([2, '']);
    expect(examplesIn(err).length).toBeGreaterThanOrEqual(1);
  });

  test.each(['', ...commands])('%s leads with two examples, and they run', async (command) => {
    const { out } = await run([...(command === '' ? [] : [command]), '--help']);
    expect(out).toMatch(/^Examples:\n/);
    const examples = examplesIn(out);
    expect(examples.length).toBeGreaterThanOrEqual(2);
    expect(examples.some((line) => line.includes('json'))).toBe(true);
    for (const line of examples) {
      // Every fault of the hood in every state takes long: those of a smaller circuit do.
      const files = command === 'faults' ? { 'range-hood.circuit.yaml': hums } : {};
      const ran = await run(argumentsOf(line), { folder: 'examples/range-hood', files });
      expect([line, [0, 1].includes(ran.status), ran.err.includes('error')]).toEqual([line, true, false]);
      expect([line, ran.out + [...ran.written.values()].join('') === '']).toEqual([line, false]);
    }
  });

  test('every line fits 80 columns', async () => {
    for (const args of [['--help'], ...commands.map((command) => [command, '--help'])]) {
      const { out } = await run(args);
      const long = out.split('\n').filter((line) => line.length > 80 && !/^ {2}loadside /.test(line));
      expect(long).toEqual([]);
    }
  });
});

test('the version is bare on standard output', async () => {
  const { version } = JSON.parse(textOf('package.json'));
  for (const args of [['--version'], ['-V']]) {
    const { status, out, err } = await run(args);
    expect([status, err]).toEqual([0, '']);
    expect(out).toBe(`${version}\n`);
  }
});

describe('a call that cannot be carried out: exit 2, in words on standard error, and nothing is run', () => {
  test.each([
    ['a command that is near one', ['chek', noFan], /check/],
    ['a command near none', ['bogus', noFan], /bogus/],
    ['a command for help that is near one', ['help', 'chek'], /check/],
    ['an option near one', ['check', noFan, '--quite'], /--quiet/],
    ['an option near none', ['check', noFan, '--bogus'], /--bogus/],
    ['a short option', ['check', noFan, '-Z'], /-Z/],
    ['an option of another command', ['check', noFan, '--fault', 'F1:open'], /--fault/],
    ['an argument too many', ['check', noFan, noFan], /argument/],
    ['an argument too few', ['check'], /readings/],
    ['a value for a flag', ['check', noFan, '--quiet=1'], /--quiet takes no value/],
    ['a value for a flag that is given as yes', ['check', noFan, '--ascii=yes'], /--ascii takes no value/],
    ['no value for an option', ['check', noFan, '--format'], /--format/],
    ['a format near one', ['check', noFan, '--format', 'jsn'], /json/],
    ['a width that is none', ['check', noFan, '--width', 'wide'], /40/],
    ['a width too small', ['check', noFan, '--width', '3'], /40/],
    ['standard input twice', ['validate', '-', '-'], /once|twice|both/],
    ['standard input for both files', ['check', '-', '--circuit', '-'], /once|twice|both/],
  ])('%s', async (_, args, words) => {
    const { status, out, err, written } = await run(args, { stdin: hoodText });
    expect([status, out, written.size]).toEqual([2, '', 0]);
    expect(err).toMatch(words);
    expect(err).not.toMatch(/\n\s+at /);
  });

  test('a folder, and a file that is not there', async () => {
    for (const name of ['examples', 'nowhere.yaml']) {
      for (const args of [
        ['check', name],
        ['expect', name],
        ['check', noFan, '--circuit', name],
      ]) {
        const { status, out, err } = await run(args);
        expect([status, out]).toEqual([2, '']);
        expect(err).toContain(name);
      }
    }
  });

  test('readings that name no circuit are told how to', async () => {
    const files = { 'r.yaml': 'loadside: readings/1\nreadings: []\n' };
    const { status, out, err } = await run(['check', 'r.yaml'], { files });
    expect([status, out]).toEqual([2, '']);
    expect(err).toContain('--circuit');
  });
});

describe('options', () => {
  test.each(commands)('%s takes them before its arguments and behind', async (command) => {
    const behind = await run([command, ...given[command], '--format', 'json', '--quiet']);
    expect(behind.status).toBe(0);
    expect(await run([command, '--format', 'json', '--quiet', ...given[command]])).toEqual(behind);
    expect(await run([command, '--format=json', '-q', '--', ...given[command]])).toEqual(behind);
    // How they are written is read in one place for all commands.
    if (command !== 'validate') return;
    expect(await run([command, '-q', '-f', 'json', ...given[command]])).toEqual(behind);
    expect(await run([command, '-qf', 'json', ...given[command]])).toEqual(behind);
    expect(await run([command, '--format=json', '-q', ...given[command]])).toEqual(behind);
  });

  test.each([
    ['--quiet', []],
    ['--format', ['json']],
    ['--no-color', []],
    ['--ascii', []],
    ['--width', ['60']],
  ])('%s, which every command has, also before the command', async (option, value) => {
    const behind = await run(['check', lostLeg, option, ...value]);
    expect(behind.status).toBe(1);
    expect(await run([option, ...value, 'check', lostLeg])).toEqual(behind);
  });

  test('--output also before the command', async () => {
    const { status, out, written } = await run(['--output', 'a.txt', 'check', ovenGood]);
    expect([status, out]).toEqual([0, '']);
    expect(written.has('a.txt')).toBe(true);
  });

  test('--quiet leaves out hints and never the verdict', async () => {
    const loud = await run(['check', lostLeg]);
    const quiet = await run(['check', lostLeg, '--quiet']);
    expect(loud.err).toContain('loadside expect');
    expect(quiet.err).toBe('');
    expect([quiet.status, quiet.out]).toEqual([loud.status, loud.out]);
  });

  test('--quiet leaves out warnings and never errors', async () => {
    const spare = hoodText.replace(/^ {2}- \{ from: LS\.2, to: LAMP\.1.*\n/m, '');
    const files = { 'c.yaml': spare, 'bad.yaml': 'loadside: x\n' };
    expect((await run(['expect', 'c.yaml'], { files })).err).toContain('warning');
    expect((await run(['expect', 'c.yaml', '--quiet'], { files })).err).toBe('');
    expect((await run(['expect', 'bad.yaml', '--quiet'], { files })).err).toContain('error');
  });

  test('what a circuit warns of is told by every command that reads it', async () => {
    const spare = hoodText.replace(/^ {2}- \{ from: LS\.2, to: LAMP\.1.*\n/m, '');
    const files = { 'c.yaml': spare, 'r.csv': 'in,red,black,reads\n,CTL.L,CTL.N,121 V\n' };
    for (const args of [
      ['expect', 'c.yaml'],
      ['trace', 'c.yaml', 'FAN'],
      ['pins', 'c.yaml'],
      ['faults', 'c.yaml', '--state', 'lamp'],
      ['check', 'r.csv', '--circuit', 'c.yaml'],
    ]) {
      expect([args[0], (await run(args, { files })).err]).toEqual([
        args[0],
        expect.stringContaining('warning'),
      ]);
    }
  });

  test('the hint after a finding can be run as it stands', async () => {
    const { err } = await run(['check', lostLeg]);
    const call = /loadside (expect .*)/.exec(err)?.[1] ?? '';
    expect((await run(call.split(' '))).status).toBe(0);
  });
});

describe('exit status is a category, never a count', () => {
  test.each([255, 256, 257, 300, 512])('%d failed expectations', async (count) => {
    const wrong = '  - { in: {}, red: CTL.L, black: CTL.N, reads: 5 V }\n'.repeat(count);
    const files = { 'c.yaml': hoodText.replace('\nexpectations:\n', `\nexpectations:\n${wrong}`) };
    const ran = await run(['validate', 'c.yaml', '--format', 'json'], { files });
    expect(ran.status).toBe(1);
    const [file] = jsonOf(ran).files;
    expect(file.problems.length + file.more).toBe(count);
  });

  test('300 files that are not valid', async () => {
    const files = Object.fromEntries(
      Array.from({ length: 300 }, (_, index) => [`${index}.yaml`, 'loadside: x\n']),
    );
    expect((await run(['validate', ...Object.keys(files)], { files })).status).toBe(1);
  });

  test('300 readings that differ', async () => {
    const rows = ',S.L,S.N,,5 V,,\n'.repeat(300);
    const files = { 'r.csv': `in,red,black,on,reads,input,note\n${rows}`, 'c.yaml': hums };
    const ran = await run(['check', 'r.csv', '--circuit', 'c.yaml', '--format', 'json'], { files });
    expect(ran.status).toBe(1);
    expect(jsonOf(ran).readings.filter((reading: Answer) => reading.verdict === 'differs')).toHaveLength(300);
  });
});

describe('standard input', () => {
  test('stands for the one file', async () => {
    const ran = await run(['validate', '-'], { stdin: hoodText });
    expect(ran.status).toBe(0);
    expect(ran.out).toContain('standard input: valid');
    const { status } = await run(['check', '-', '--circuit', hood], { stdin: textOf(noFan) });
    expect(status).toBe(1);
  });
});
