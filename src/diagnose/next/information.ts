/** Bits still missing to know which of the weights is the one: Shannon's entropy. They need not sum to 1. */
export function entropy(weights: ArrayLike<number>): number {
  let [total, sum] = [0, 0];
  for (let index = 0; index < weights.length; index += 1) {
    const weight = weights[index] ?? 0;
    if (weight <= 0) continue;
    total += weight;
    sum += weight * Math.log2(weight);
  }
  return total === 0 ? 0 : Math.max(0, Math.log2(total) - sum / total);
}

/**
 * Bits that a reading is expected to give: the entropy over answers before it, less what is left after it, each outcome
 * by its weight (one step ahead: de Kleer and Williams 1987). A row is an outcome: how much of each answer ends up there.
 */
export function expectedGain(outcomes: readonly ArrayLike<number>[]): number {
  const answers = outcomes[0]?.length ?? 0;
  const before = new Float64Array(answers);
  let [total, after] = [0, 0];
  for (const outcome of outcomes) {
    let weight = 0;
    for (let answer = 0; answer < answers; answer += 1) {
      const share = outcome[answer] ?? 0;
      weight += share;
      before[answer] = (before[answer] ?? 0) + share;
    }
    total += weight;
    after += weight * entropy(outcome);
  }
  return total === 0 ? 0 : Math.max(0, entropy(before) - after / total);
}
