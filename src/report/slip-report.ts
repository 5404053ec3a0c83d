import type { Json } from '../answers.js';
import type { State } from '../circuit/circuit.js';
import type { CheckAnswer, Slip, SlipEffect, SlipProof } from '../diagnose/diagnose.js';
import { clean } from './clean.js';
import { listed } from './phrases.js';
import { expectedJson, wordExpected } from './word-expected.js';
import { faultJson, wordMode, wordPart } from './word-fault.js';
import { inStates } from './word-state.js';

/** Effects that are told; the rest are counted. JSON has them all. */
const mostTold = 4;

/** A slip less likely than this is told in the table of suspects alone (judgement, no source). JSON has them all. */
const leastWeight = 0.03;

/** What each suspected slip would do besides, and the reading that proves it. */
export function slipLines({ circuit, slips }: CheckAnswer): string[] {
  const likely = slips.filter(({ weight }) => weight >= leastWeight);
  if (likely.length === 0) return [];
  const lines = likely.flatMap(({ faults, effects, proof }) => {
    const what = faults.map((fault) => `${wordPart(circuit, fault.part)} ${wordMode(circuit, fault)}`);
    const does = wordEffects(effects);
    return [
      ...(does.length === 0 ? [] : [`If ${listed(what, 'and')}: ${does.join('; ')}.`]),
      proof === undefined ? `No one voltage proves that ${listed(what, 'and')}.` : wordProof(proof),
    ];
  });
  return [...lines, 'Or isolate, prove dead, and look which wire sits where.'];
}

/** `in fill and spin PUMP (water is pumped out) works and should not`: states with the same effect together. */
function wordEffects(effects: readonly SlipEffect[]): string[] {
  const byEffect = new Map<string, State[]>();
  for (const effect of effects) {
    const does = wordEffect(effect);
    byEffect.set(does, [...(byEffect.get(does) ?? []), effect.state]);
  }
  const told = [...byEffect].map(([does, states]) => `${inStates(states)} ${does}`);
  const rest = told.length - mostTold;
  return rest > 0 ? [...told.slice(0, mostTold), `and ${rest} more`] : told;
}

function wordEffect({ loads, opens }: SlipEffect): string {
  if (opens !== undefined) return `${clean(opens)} would open on too much current`;
  return loads
    .map(({ load, works }) => {
      const name = `${clean(load.name)} (${clean(load.job)})`;
      return works ? `${name} works and should not` : `${name} does not work and should`;
    })
    .join(', ');
}

export function wordProof({ state, red, black, slipped, sound, reading }: SlipProof): string {
  const place = `${inStates([state])} ${clean(red)} to ${clean(black)}`;
  const taken = reading === undefined ? '' : ` (reading ${reading})`;
  return `Proof: ${place}${taken} reads ${wordExpected(slipped)} with it, ${wordExpected(sound)} without.`;
}

/** The `slips` of schemas/report.schema.json. */
export function slipsJson(slips: readonly Slip[]): Json.Slip[] {
  return slips.map(({ faults, effects, proof }) => ({
    faults: faults.map(faultJson),
    effects: slipEffectsJson(effects),
    proof: slipProofJson(proof),
  }));
}

export function slipEffectsJson(effects: readonly SlipEffect[]): Json.Slip['effects'] {
  return effects.map(({ state, loads, opens }) => ({
    in: state.changes,
    loads: loads.map(({ load, works }) => ({ load: load.name, job: load.job, works })),
    opens: opens ?? null,
  }));
}

export function slipProofJson(proof: SlipProof | undefined): Json.Slip['proof'] {
  if (proof === undefined) return null;
  const { state, red, black, slipped, sound, reading } = proof;
  return {
    in: state.changes,
    red,
    black,
    slipped: expectedJson(slipped),
    sound: expectedJson(sound),
    reading: reading ?? null,
  };
}
