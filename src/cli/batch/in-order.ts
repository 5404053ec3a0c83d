/**
 * Works on items as they come, no more than `most` at once, and hands on each result in the order of the items as soon
 * as those before it are handed on. When results are taken slowly the next items wait, so that what is kept is bounded.
 */
export async function inOrder<Item, Result>(
  items: AsyncIterable<Item>,
  most: number,
  work: (item: Item) => Promise<Result>,
  take: (result: Result) => Promise<void>,
): Promise<void> {
  const pending: Promise<void>[] = [];
  let last: Promise<void> = Promise.resolve();
  for await (const item of items) {
    const result = work(item);
    const before = last;
    last = result.then(async (value) => {
      await before;
      await take(value);
    });
    // What fails is thrown where it is waited for, below.
    last.catch(() => {});
    pending.push(last);
    if (pending.length >= most) await pending.shift();
  }
  await Promise.all(pending);
}
