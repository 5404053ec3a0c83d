export interface Timing {
  readonly median: number;
  readonly least: number;
  readonly most: number;
}

/** Microseconds of one call: the median of rounds of many calls, the first rounds left out as warming up. */
export function microseconds(call: () => void, rounds = 21, callsPerRound = 200): Timing {
  const each: number[] = [];
  for (let round = -5; round < rounds; round += 1) {
    const start = performance.now();
    for (let k = 0; k < callsPerRound; k += 1) call();
    if (round >= 0) each.push(((performance.now() - start) * 1000) / callsPerRound);
  }
  each.sort((a, b) => a - b);
  return { median: each[rounds >> 1]!, least: each[0]!, most: each[rounds - 1]! };
}
