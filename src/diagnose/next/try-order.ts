import type { Circuit, Minutes } from '../../circuit/circuit.js';
import { swapMinutes } from './costs.js';
import type { Hypothesis } from './hypotheses.js';

/** Parts to be looked at or exchanged together, with what speaks for them and what it takes. */
export interface Trial {
  readonly parts: readonly string[];
  /** Of all that is suspected. */
  readonly share: number;
  readonly minutes: Minutes;
}

/**
 * Where no reading tells more: what is left, in the order that takes least on the average until the right one is met. That
 * is by likelihood over cost, largest first (exact where one is tried after the other; brute force in the tests).
 */
export function tryOrder(circuit: Circuit, hypotheses: readonly Hypothesis[]): readonly Trial[] {
  const total = hypotheses.reduce((sum, { weight }) => sum + weight, 0);
  const byAnswer = new Map<string, Trial>();
  for (const { answer, parts, weight } of hypotheses) {
    const known = byAnswer.get(answer);
    const minutes = known?.minutes ?? parts.reduce((sum, part) => sum + swapMinutes(circuit, part), 0);
    byAnswer.set(answer, { parts, share: (known?.share ?? 0) + weight / total, minutes });
  }
  return inOrder([...byAnswer.values()]);
}

/** By likelihood over cost, largest first; equals stay as they are. */
export function inOrder<Each extends { readonly share: number; readonly minutes: Minutes }>(
  trials: readonly Each[],
): readonly Each[] {
  return [...trials].sort((a, b) => b.share / b.minutes - a.share / a.minutes);
}
