/** A circuit to start from is one to keep: valid without a warning, laid out as we write, whatever was asked for. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { loadKinds, protectorKinds, supplyKinds, switchKinds } from '../../src/cli/starter/kinds.js';
import { jsonOf, type Ran, run } from './run.js';

async function started(args: readonly string[]): Promise<string> {
  const { status, out, err } = await run(['new', ...args]);
  expect({ status, err }).toEqual({ status: 0, err: '' });
  return out;
}

const validated = (text: string): Promise<Ran> =>
  run(['validate', 'c.yaml', '--json'], { files: { 'c.yaml': text } });

/** Valid, and nothing at all to say of it. */
async function expectSound(text: string): Promise<void> {
  const ran = await validated(text);
  const { files } = jsonOf(ran);
  expect(files[0].problems).toEqual([]);
  expect(files[0].expectations.length).toBeGreaterThan(0);
  expect(ran).toMatchObject({ status: 0, err: '' });
  const again = await run(['format', 'c.yaml'], { files: { 'c.yaml': text } });
  expect(again.out).toBe(text);
  expect(Math.max(...text.split('\n').map(({ length }) => length))).toBeLessThanOrEqual(115);
}

describe('a circuit to start from', () => {
  const one = (option: string, kinds: object) => Object.keys(kinds).map((kind) => [option, kind]);
  test.each([
    [],
    ...one('--supply', supplyKinds),
    ...one('--load', loadKinds),
    ...one('--protector', protectorKinds),
    ...one('--switch', switchKinds),
    ['--switch', 'none', '--protector', 'none'],
    ['--title', 'yes: "no" # é'],
    ['--title', 'true'],
  ])('is sound: %s %s', async (...args) => expectSound(await started(args)));

  const listed = (option: string, kinds: object, least: number) =>
    fc
      .array(fc.constantFrom(...Object.keys(kinds)), { minLength: least, maxLength: 4 })
      .map((chosen) => (chosen.length === 0 ? [option, 'none'] : chosen.flatMap((kind) => [option, kind])));

  test('is sound whatever is put together', async () => {
    const args = fc.tuple(
      fc.constantFrom(...Object.keys(supplyKinds)).map((supply) => ['--supply', supply]),
      listed('--load', loadKinds, 1),
      listed('--protector', protectorKinds, 0),
      listed('--switch', switchKinds, 0).filter(
        (chosen) => chosen.filter((kind) => kind === 'selector').length < 2,
      ),
    );
    await fc.assert(
      fc.asyncProperty(args, async (chosen) => expectSound(await started(chosen.flat()))),
      { numRuns: 25 },
    );
  });

  test('has the names, powers and title given', async () => {
    const text = await started([
      '--title',
      'Plate: warm',
      '--load',
      'PLATE=heating-element:0.8 kW',
      '--switch',
      'MAIN=on-off',
    ]);
    expect(text).toContain('title: "Plate: warm"\n');
    expect(text).toContain('power: 800 W');
    expect(text).toContain('#   MAINS.L - F - MAIN - PLATE - MAINS.N\n');
  });
});

describe('an answer that is none is refused with what would be right', () => {
  test.each([
    [['--load', 'lmap'], 'there is no kind lmap. Did you mean lamp?'],
    [['--load', '9X=lamp'], '9X can not be the name of a part.'],
    [['--load', 'A=lamp', '--switch', 'A=on-off'], 'A is taken already.'],
    [['--load', 'lamp:2 V'], '2 V is no power of a load.'],
    [['--load', 'none'], 'a circuit needs a load.'],
    [['--switch', 'selector', '--switch', 'selector'], 'one selector is enough'],
    [['--title', 'a\u{1b}[31mb'], 'a title is a line'],
    [['--supply', '110V'], "argument '110V' is invalid"],
  ])('%s', async (args, told) => {
    const { status, out, err } = await run(['new', ...args]);
    expect([status, out]).toEqual([2, '']);
    expect(err).toContain(told);
    expect(err).not.toContain('\u{1b}');
  });

  test('and a file that is there is not written over', async () => {
    const outside = { files: { 'mine.yaml': 'mine' } };
    const { status, err, written } = await run(['new', '--output', 'mine.yaml'], outside);
    expect([status, written.size]).toEqual([2, 0]);
    expect(err).toContain('mine.yaml is there already');
    const other = await run(['new', '--output', 'new.yaml'], outside);
    expect([other.status, [...other.written.keys()], other.err]).toEqual([
      0,
      ['new.yaml'],
      'Next: loadside validate new.yaml\n',
    ]);
  });
});

describe('at a terminal', () => {
  const asked = (lines: readonly (string | undefined)[]) => {
    const questions: string[] = [];
    return {
      questions,
      ask: async (question: string) => {
        questions.push(question);
        return lines[questions.length - 1];
      },
    };
  };

  test('what is not given is asked for; Enter takes what is usual, and what is none is asked for again', async () => {
    const { ask, questions } = asked(['', 'lampe', 'lamp, motor', 'none', 'on-off, thermostat']);
    const { status, out, err } = await run(['new', '--title', 'Fan'], { ask });
    expect(status).toBe(0);
    expect(questions.map((each) => each.split(/[:,?]/)[0])).toEqual([
      'Supply',
      'Loads',
      'Loads',
      'What protects them',
      'Switches from the supply on',
    ]);
    expect(err).toBe(
      `there is no kind lampe. Did you mean lamp?\nThere are: ${Object.keys(loadKinds).join(', ')}.\n`,
    );
    expect(out).toBe(
      await started([
        '--title',
        'Fan',
        '--load',
        'lamp',
        '--load',
        'motor',
        '--protector',
        'none',
        '--switch',
        'on-off',
        '--switch',
        'thermostat',
      ]),
    );
  });

  test('nothing is asked with --no-input, and nothing written when the person leaves', async () => {
    const none = asked([]);
    expect((await run(['new', '--no-input'], { ask: none.ask })).out).toBe(await started([]));
    expect(none.questions).toEqual([]);
    const left = await run(['new', '--output', 'x.yaml'], { ask: asked(['Fan', undefined]).ask });
    expect([left.status, left.out, left.written.size]).toEqual([2, '', 0]);
    expect(left.err).toContain('nothing was written');
  });
});
