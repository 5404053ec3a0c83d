/** A linear congruential generator (Numerical Recipes' constants, from memory): the same numbers on every machine. */
export function numbersFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** A seed of its own for each thing that has a name, so that leaving some out leaves the others as they were. */
export function seedOf(name: string, seed: number): number {
  let hash = seed >>> 0;
  for (const letter of name) hash = Math.imul(hash ^ letter.charCodeAt(0), 16777619) >>> 0;
  return hash;
}
