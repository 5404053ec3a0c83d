import { namedStates } from '../../src/circuit/circuit.js';
import { safePlaces, usualBlack } from '../../src/diagnose/diagnose.js';
import { instrument, nominalSupplies, TestStand } from '../../src/meter/meter.js';
import type { Appliance } from '../../src/practice/appliance.js';
import type { Desk } from '../../src/practice/desk.js';
import type { Hunt } from '../../src/practice/hunt.js';

/**
 * The same job with volts read at every test point in every named state, each against a place it has volts to: what is
 * left then, nothing of the kind can tell apart.
 */
export function readEverywhere(desk: Desk, { job }: Hunt, appliance: Appliance): Hunt {
  const { circuit } = desk;
  const stand = new TestStand(circuit, nominalSupplies(circuit));
  const { isTestPoint, isDelicate, isEarth } = safePlaces(circuit, new Set());
  const places = circuit.nodes.filter(({ index }) => isTestPoint(index));
  const mayLoad = (node: number) => !isDelicate(node) && !isEarth(node);
  const home = usualBlack(circuit);
  const readings = [...job.readings];
  for (const state of namedStates(circuit)) {
    const sight = stand.look(state, []);
    if (sight.kind !== 'steady' || !state.power) continue;
    const { view } = sight;
    for (const { index: red } of places) {
      const joined = (node: number | undefined) =>
        node !== undefined && node !== red && view.island(node) === view.island(red);
      const black = joined(home) ? home : places.find(({ index }) => joined(index))?.index;
      if (black === undefined) continue;
      const where = { kind: 'between', red, black } as const;
      const meter = instrument(mayLoad(red) && mayLoad(black) ? 'low-impedance' : 'high-impedance');
      const shown = appliance.shows(state, { where, unit: 'V', meter });
      readings.push({ index: readings.length + 1, state, where, shown, meter });
    }
  }
  const all = { ...job, readings };
  return { job: all, answer: desk.check(all), minutes: Number.POSITIVE_INFINITY };
}
