import { type Circuit, restState, withLoose } from '../../src/circuit/circuit.js';
import { displayError, usualInstrument } from '../../src/meter/meter.js';
import type { Appliance } from '../../src/practice/appliance.js';

/**
 * What the outlet measures with the appliance's wires off it, so that no load pulls it down; noted only where it is a
 * house's voltage and not a fault.
 */
export function measuredOutlets(circuit: Circuit, appliance: Appliance): Map<string, number> {
  const measured = new Map<string, number>();
  for (const { name, legs, stated, tolerance, volts } of circuit.supplies.values()) {
    const [red, ...others] = legs.filter((leg) => leg.live);
    const black = legs.find((leg) => !leg.live && leg.name !== 'earth') ?? others[0];
    if (red === undefined || black === undefined) continue;
    const terminals = new Set(legs.map(({ node }) => circuit.nodes[node]?.name ?? ''));
    const unloaded = withLoose(restState(circuit), terminals, new Set());
    const where = { kind: 'between', red: red.node, black: black.node } as const;
    const shown = appliance.shows(unloaded, { where, unit: 'V', meter: usualInstrument });
    if (shown.kind !== 'value') continue;
    const nominal = black.live ? stated : volts;
    const volted = (shown.value / nominal) * stated;
    const error = displayError(usualInstrument.accuracy, nominal) / nominal;
    if (Math.abs(volted / stated - 1) <= tolerance + error) measured.set(name, Number(volted.toPrecision(6)));
  }
  return measured;
}
