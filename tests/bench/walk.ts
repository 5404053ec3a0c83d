import type { Strategy } from '../../src/practice/desk.js';
import { askAt, canAsk, interestOf, proposed } from '../../src/practice/technician.js';

/** From the supply on, one place after the other. */
export const walk: Strategy = (desk, job) => {
  const { circuit } = desk;
  const { state, chains } = interestOf(circuit, desk.check(job));
  const asks = chains.flatMap(({ nodes, black }) => nodes.map((node) => askAt(state, node, black)));
  return asks.find((ask) => canAsk(circuit, job, ask)) ?? desk.next(proposed, job);
};
