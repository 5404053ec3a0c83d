import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { inOrder } from '../../../src/cli/batch/in-order.js';

async function* upTo(count: number) {
  for (let item = 0; item < count; item += 1) yield item;
}

describe('results', () => {
  test('are handed on in the order of the items, whichever is ready first', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.scheduler(),
        fc.nat(20),
        fc.integer({ min: 1, max: 6 }),
        async (scheduler, count, most) => {
          const taken: number[] = [];
          let under = 0;
          const done = inOrder(
            upTo(count),
            most,
            async (item) => {
              under += 1;
              expect(under - taken.length).toBeLessThanOrEqual(most + 1);
              return scheduler.schedule(Promise.resolve(item * 2));
            },
            async (result) => void taken.push(result),
          );
          await scheduler.waitFor(done);
          expect(taken).toEqual(Array.from({ length: count }, (_, item) => item * 2));
        },
      ),
      { numRuns: 60 },
    );
  });

  test('that are not taken keep further items waiting', async () => {
    let begun = 0;
    let release = (): void => {};
    const held = new Promise<void>((resolve) => {
      release = resolve;
    });
    const done = inOrder(
      upTo(100),
      4,
      async (item) => {
        begun += 1;
        return item;
      },
      () => held,
    );
    await new Promise((resolve) => setTimeout(resolve, 20));
    expect(begun).toBeLessThanOrEqual(5);
    release();
    await done;
    expect(begun).toBe(100);
  });

  test('what fails is thrown, and nothing behind it is handed on', async () => {
    const taken: number[] = [];
    const work = async (item: number) => {
      if (item === 3) throw new Error('no');
      return item;
    };
    await expect(inOrder(upTo(9), 3, work, async (result) => void taken.push(result))).rejects.toThrow('no');
    expect(taken).toEqual([0, 1, 2]);
  });
});
