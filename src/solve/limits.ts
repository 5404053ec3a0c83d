import { type Circuit, transformerOpensAt } from '../circuit/circuit.js';

/** Amps that open a protector, or burn out a transformer. */
export interface Limit {
  readonly name: string;
  readonly branch: number;
  readonly ratedAmps: number;
  readonly opensAt: number;
}

/** What opens on too much current, of a circuit: protectors with a rating, and the primaries of transformers. */
export function limitsOf({ protectors, transformers }: Circuit): readonly Limit[] {
  const rated = [...protectors.values()].flatMap(({ name, branch, rating }) =>
    rating === undefined ? [] : [{ name, branch, ratedAmps: rating.amps, opensAt: rating.opensAt }],
  );
  const cores = transformers.flatMap(({ name, windings: [branch], ratedAmps }) =>
    ratedAmps === undefined || branch === undefined
      ? []
      : [{ name, branch, ratedAmps, opensAt: transformerOpensAt * ratedAmps }],
  );
  return [...rated, ...cores];
}
