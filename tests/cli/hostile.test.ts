import { afterEach, describe, expect, test } from 'vitest';
import { exchanged, hood, hoodText, noFanText, ovenText } from './example-files.js';
import {
  bigFiles,
  deepFiles,
  type HostileFile,
  hostileTables,
  misshapenFiles,
  unreadableFiles,
} from './hostile-files.js';
import { type Answer, jsonOf, problemsIn, type Ran, run } from './run.js';

/** A stack, a defect, or text that Node says of itself. */
const disgrace = /\n\s+at |node:internal|defect|Warning:|RangeError|TypeError/;

afterEach(() => {
  expect(({} as { polluted?: unknown }).polluted).toBeUndefined();
});

function expectDecent({ out, err }: Ran): void {
  expect(out).not.toMatch(disgrace);
  expect(err).not.toMatch(disgrace);
  expect(out.length + err.length).toBeLessThan(100_000);
}

/** In a table, nothing but a located problem on standard error; in JSON, one document on standard output as well. */
async function expectUnusable(args: readonly string[], file: HostileFile, name: string): Promise<void> {
  const [, content, code] = file;
  const files = { [name]: content, 'hood.yaml': hoodText };
  const table = await run(args, { files });
  expect([table.status, table.out]).toEqual([2, '']);
  expect(table.err).toMatch(new RegExp(`^${name.replace('.', '\\.')}:\\d+:\\d+: error: `, 'm'));
  expectDecent(table);
  const json = await run([...args, '--format', 'json'], { files });
  expect(json.status).toBe(2);
  const answer = jsonOf(json);
  expect(answer.verdict).toBe('unusable');
  expect(answer.problems.map((problem: Answer) => problem.code)).toContain(code);
  expectDecent(json);
}

/** What is found in it is what `validate` was asked for: on standard output, with nothing on standard error. */
async function expectFound(file: HostileFile, status: number): Promise<void> {
  const files = { 'c.yaml': file[1] };
  const table = await run(['validate', 'c.yaml'], { files });
  expect([table.status, table.err]).toEqual([status, '']);
  expect(table.out).toMatch(/^c\.yaml:\d+:\d+: error: /m);
  expectDecent(table);
  await expectFoundAsJson(file, status);
}

async function expectFoundAsJson(file: HostileFile, status: number): Promise<void> {
  const files = { 'c.yaml': file[1] };
  const json = await run(['validate', 'c.yaml', '--format', 'json'], { files });
  expect([json.status, json.err]).toEqual([status, '']);
  expect(problemsIn(json).map(({ code }) => code)).toEqual([file[2]]);
}

const named = (files: readonly HostileFile[]) => files.map((file) => [file[0], file] as const);

describe('a file that cannot be read', () => {
  test.each(named([...unreadableFiles, ...deepFiles]))('circuit: %s', async (_, file) => {
    await expectFound(file, 2);
    await expectUnusable(['expect', 'c.yaml'], file, 'c.yaml');
  });

  // A byte too many for a circuit is not too many for readings.
  const asReadings = [...unreadableFiles, ...deepFiles]
    .filter(([what]) => what !== 'a byte too many')
    .map(([what, content, code]): HostileFile => {
      const own =
        typeof content === 'string'
          ? content.replaceAll('loadside: circuit/1', 'loadside: readings/1')
          : content;
      return [what, own, code];
    });
  test.each(named(asReadings))('readings: %s', async (_, file) => {
    await expectUnusable(['check', 'r.yaml', '--circuit', 'hood.yaml'], file, 'r.yaml');
  });

  test.each(named(bigFiles))('circuit: %s', async (_, file) => {
    await expectFoundAsJson(file, 2);
  });

  test.each(named(hostileTables))('readings table: %s', async (_, file) => {
    await expectUnusable(['check', 'r.csv', '--circuit', 'hood.yaml'], file, 'r.csv');
  });

  test.each(['trace', 'pins', 'faults'])('%s too', async (command) => {
    const more = command === 'trace' ? ['FAN'] : [];
    for (const file of unreadableFiles.slice(0, 4))
      await expectUnusable([command, 'c.yaml', ...more], file, 'c.yaml');
  });

  test('a circuit that the readings name, and the readings are sound', async () => {
    const files = { 'a/r.yaml': noFanText, 'a/range-hood.circuit.yaml': '- nonsense' };
    const { status, out, err } = await run(['check', 'a/r.yaml'], { files });
    expect([status, out]).toEqual([2, '']);
    expect(err).toMatch(/^a\/range-hood\.circuit\.yaml:1:1: error: /);
  });
});

describe('a file that is no circuit', () => {
  test.each(named(misshapenFiles))('%s', async (_, file) => {
    await expectFound(file, 1);
    await expectUnusable(['expect', 'c.yaml'], file, 'c.yaml');
  });

  test('one with nothing in it is not called valid', async () => {
    const files = { 'c.yaml': 'loadside: circuit/1\n' };
    expect((await run(['validate', 'c.yaml'], { files })).status).toBe(1);
  });
});

describe('many files in one run', () => {
  test('the sound ones are reported whatever stands between them', async () => {
    const files: Record<string, string | Uint8Array> = {};
    for (const [index, [, content]] of [...deepFiles, ...unreadableFiles].entries()) {
      files[`good-${index}.yaml`] = index % 2 === 0 ? hoodText : ovenText;
      files[`bad-${index}.yaml`] = content;
    }
    // Ten of the deep ones and a few of the others: the sound ones are solved, which takes its time.
    const names = Object.keys(files).slice(0, 28);
    const ran = await run(['validate', ...names, '--format', 'json'], { files });
    expect([ran.status, ran.err]).toEqual([2, '']);
    const verdicts = jsonOf(ran).files.map((file: Answer) => [file.path, file.verdict]);
    expect(verdicts).toEqual(
      names.map((name) => [name, name.startsWith('good') ? 'valid' : expect.not.stringMatching(/^valid$/)]),
    );
  });

  test('a file that is not there is named, each one, and the others are reported', async () => {
    const args = ['validate', 'nowhere-1.yaml', hood, 'src', 'nowhere-2.yaml'];
    const { status, out, err } = await run(args);
    expect(status).toBe(2);
    for (const name of ['nowhere-1.yaml', 'nowhere-2.yaml', 'src']) {
      expect(err + out).toMatch(new RegExp(`${name.replace('.', '\\.')}\\b.*(no such file|holds no)`));
    }
    expect(out).toMatch(/range-hood\.circuit\.yaml: valid/);
    const json = await run([...args, '--format', 'json']);
    expect(json.status).toBe(2);
    const valid = jsonOf(json).files.filter((file: Answer) => file.verdict === 'valid');
    expect(valid.map((file: Answer) => file.path)).toEqual([hood]);
  });
});

describe('limits are counted and named', () => {
  test('a hundred problems are shown and the rest counted', async () => {
    const loads = Array.from(
      { length: 1_000 },
      (_, index) =>
        `  L${index}: { kind: lamp, between: [A.1, B.1], rated: { voltage: 9 V, power: 1 W }, jobb: x }`,
    );
    const files = { 'c.yaml': `loadside: circuit/1\nloads:\n${loads.join('\n')}\n` };
    const ran = await run(['validate', 'c.yaml', '--format', 'json'], { files });
    expect(ran.status).toBe(1);
    expect(problemsIn(ran)).toHaveLength(100);
    expect(jsonOf(ran).files[0].more).toBe(900);
    const table = await run(['validate', 'c.yaml'], { files });
    expect(table.out).toContain('900 more not shown');
  });

  test.each([
    ['a circuit', 'c.yaml', ['validate', 'c.yaml'], 1_048_576],
    ['readings', 'r.yaml', ['check', 'r.yaml', '--circuit', 'hood.yaml'], 8_388_608],
  ])('%s may have its last byte', async (_, name, args, most) => {
    const text = name === 'c.yaml' ? hoodText : noFanText;
    const remark = (length: number) =>
      `${'#'.repeat(999)}\n`.repeat(Math.ceil(length / 1_000)).slice(0, length - 1);
    const padded = (length: number) => `${remark(length - text.length)}\n${text}`;
    const given = (length: number) => ({ files: { [name]: padded(length), 'hood.yaml': hoodText } });
    expect(padded(most)).toHaveLength(most);
    expect((await run(args, given(most))).status).toBeLessThan(2);
    const over = await run(args, given(most + 1));
    expect(over.status).toBe(2);
    expect(over.out + over.err).toContain(`at most ${most} are read`);
  });
});

test('thousands of readings are told whole, row by row', async () => {
  const rows = ',CTL.L,CTL.N,,121 V,,\n'.repeat(4_000);
  const files = { 'r.csv': `in,red,black,on,reads,input,note\n${rows}`, 'hood.yaml': hoodText };
  const { status, out } = await run(['check', 'r.csv', '--circuit', 'hood.yaml'], { files });
  expect(status).toBe(0);
  expect(out.match(/^\d+ +at rest .*OK$/gm)).toHaveLength(4_000);
});

/** Each quantity of a circuit, replaced in turn. */
function withEach(text: string, value: string): string[] {
  const found = [...text.matchAll(/(?<=: )(\d+(?:\.\d+)?)(?= (?:V|Hz|A|W|ohm|kohm|m|min|degC|%)\b)/g)];
  const first = new Map(found.map((match) => [text.slice(match.index - 14, match.index), match]));
  return [...first.values()].map(
    ({ 0: number, index }) => text.slice(0, index) + value + text.slice(index + number.length),
  );
}

describe('a number beyond reason is a problem or is computed with, and never a defect', () => {
  test.each([
    ['hood', hoodText, 'FAN'],
    ['oven', ovenText, 'BAKE'],
  ])('%s', async (_, text, load) => {
    for (const [turn, value] of ['1e300', '1e-300', '1e308', '0', '1e15'].entries()) {
      for (const [place, spoilt] of withEach(text, value).entries()) {
        // Each place in turn with two of the five.
        if ((place + turn) % 5 > 1) continue;
        const files = { 'c.yaml': spoilt };
        for (const args of [
          ['expect', 'c.yaml'],
          ['trace', 'c.yaml', load],
        ]) {
          const ran = await run(args, { files });
          const line = spoilt.split('\n').find((each, index) => each !== text.split('\n')[index]);
          expect([line, [0, 1, 2].includes(ran.status)]).toEqual([line, true]);
          expect([line, /NaN|Infinity/.exec(ran.out + ran.err)?.[0]]).toEqual([line, undefined]);
        }
      }
    }
  });
});

test('CRLF, lone CR and a leading byte order mark change no finding', async () => {
  const spoilt = exchanged(hoodText, 'switch: B1, position: in', 'switch: B11, position: in');
  const told = async (text: string) =>
    problemsIn(await run(['validate', 'c.yaml', '--format', 'json'], { files: { 'c.yaml': text } }));
  const expected = await told(spoilt);
  expect(expected).toHaveLength(1);
  expect(await told(spoilt.replaceAll('\n', '\r\n'))).toEqual(expected);
  expect(await told(spoilt.replaceAll('\n', '\r'))).toEqual(expected);
  expect(await told(`\ufeff${spoilt}`)).toEqual(expected);
});
