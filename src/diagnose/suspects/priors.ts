import type { Circuit, Fault, Mode, Part } from '../../circuit/circuit.js';

type KindName = Part['kind'];

/**
 * How often parts of a kind fail in a mode, against one another: rough weights, common practice, no source. They
 * only order suspects that fit equally well; a circuit file may say otherwise of its own (`priors`).
 */
const weights: Readonly<Record<KindName, Partial<Readonly<Record<Mode, number>>>>> = {
  supply: { missing: 0.02, crossed: 0.005, 'high-resistance': 0.005, 'low-voltage': 0.005 },
  switch: {
    'stuck-open': 0.05,
    'stuck-closed': 0.03,
    dead: 0.03,
    'always-on': 0.02,
    'high-resistance': 0.03,
  },
  protector: { open: 0.06, 'stuck-closed': 0.01, 'high-resistance': 0.005 },
  load: {
    open: 0.06,
    shorted: 0.01,
    dead: 0.03,
    'high-resistance': 0.005,
    'low-resistance': 0.005,
    'leaks-to-earth': 0.005,
  },
  relay: {
    'stuck-open': 0.05,
    'stuck-closed': 0.03,
    open: 0.02,
    shorted: 0.003,
    dead: 0.02,
    'always-on': 0.01,
    'high-resistance': 0.02,
  },
  module: { dead: 0.06, 'always-on': 0.02 },
  passive: { open: 0.02, shorted: 0.01, 'high-resistance': 0.01, 'low-resistance': 0.01 },
  transformer: { open: 0.03, shorted: 0.01 },
  connector: { open: 0.03, 'high-resistance': 0.03 },
  wire: { open: 0.02, crossed: 0.001, 'wrong-pin': 0.001, 'high-resistance': 0.01, 'leaks-to-earth': 0.003 },
};

/** A mode no row of the table names. */
const otherWeight = 0.005;

/** One output of a module fails less often than any of them. */
const oneOutputShare = 0.5;

/** Room kept for a fault nobody modelled. */
export const unknownWeight = 0.005;

export function priorOf({ parts, priors }: Circuit, { part, mode, at }: Fault): number {
  const kind = parts.get(part)?.kind;
  const stated = priors.get(part)?.[mode] ?? (kind === undefined ? undefined : priors.get(kind)?.[mode]);
  if (stated !== undefined) return stated;
  const weight = (kind === undefined ? undefined : weights[kind][mode]) ?? otherWeight;
  return kind === 'module' && mode === 'dead' && at !== undefined ? weight * oneOutputShare : weight;
}
