import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Line, linesOf } from '../../../src/cli/batch/lines.js';

async function cut(chunks: readonly Uint8Array[], most = 1_000): Promise<Line[]> {
  const lines: Line[] = [];
  async function* stream() {
    yield* chunks;
  }
  for await (const some of linesOf(stream(), most)) lines.push(...some);
  return lines;
}

const bytes = (text: string) => new TextEncoder().encode(text);
const told = (lines: readonly Line[]) =>
  lines.map(({ number, bytes: own, tooLong }) => [number, new TextDecoder().decode(own), tooLong]);

test('lines are cut where they end, however the stream comes', async () => {
  const text = fc.array(fc.constantFrom('a', 'é', '\n', '\r\n', ' ', '{"x":1}'), { maxLength: 60 });
  await fc.assert(
    fc.asyncProperty(text, fc.array(fc.nat(12), { maxLength: 40 }), async (parts, sizes) => {
      const whole = bytes(parts.join(''));
      const chunks: Uint8Array[] = [];
      let at = 0;
      for (const size of sizes) {
        chunks.push(whole.slice(at, at + size));
        at += size;
      }
      chunks.push(whole.slice(at));
      const expected = parts
        .join('')
        .split('\n')
        .map((line, index) => [index + 1, line, undefined])
        .filter(([, line]) => String(line).trim() !== '');
      expect(told(await cut(chunks))).toEqual(expected);
    }),
  );
});

test('of a line that is too long the start is kept, and its length told; those beside it are whole', async () => {
  const chunks = ['ab\n', 'x'.repeat(30), 'x'.repeat(30), 'x\ncd\n', 'y'.repeat(9)].map(bytes);
  const [first, long, third, last] = await cut(chunks, 8);
  expect(told([first, third].filter((line) => line !== undefined))).toEqual([
    [1, 'ab', undefined],
    [3, 'cd', undefined],
  ]);
  expect([long?.number, long?.tooLong, long?.bytes.length]).toEqual([2, 61, 9]);
  expect([last?.number, last?.tooLong]).toEqual([4, 9]);
});

test('what a chunk completes comes before the next one is asked for', async () => {
  let asked = 0;
  async function* stream() {
    for (const part of ['a\nb\nc', 'c\n']) {
      asked += 1;
      yield bytes(part);
    }
  }
  const seen: [number, number][] = [];
  for await (const lines of linesOf(stream(), 100)) seen.push([lines.length, asked]);
  expect(seen).toEqual([
    [2, 1],
    [1, 2],
  ]);
});
