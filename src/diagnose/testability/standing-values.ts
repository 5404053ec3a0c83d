import { type Circuit, type Fault, listFaults, type VariableFault } from '../../circuit/circuit.js';
import { curvesOfOhms, isPresent, type View, valueAt, whereAtMost } from '../../solve/solve.js';
import { faultOf } from '../values/setting.js';
import { leastAmps } from './fault-effects.js';

/**
 * Every single fault once, by part, wires exchanged or on the wrong pin last. Of a fault whose value nobody knows one
 * value stands for all (`standingValue`), unless the part has the fault without a value too: a dead leak stands for
 * leaks.
 */
export function listStanding(circuit: Circuit, views: readonly View[]): readonly Fault[] {
  const own = new Set([...circuit.parts.values()].flatMap(({ faults }) => faults));
  const ofParts = [...circuit.parts.values()].flatMap(({ faults, variableFaults = [] }) => [
    ...faults,
    ...variableFaults
      .filter(({ mode, at }) => !faults.some((fault) => fault.mode === mode && fault.at === at))
      .map((variable) => faultOf(variable, standingValue(variable, views))),
  ]);
  return [...ofParts, ...listFaults(circuit).filter((fault) => !own.has(fault))];
}

/** Of the volts a supply should give, where it gives too few: most loads stop near there (judgement, no source). */
const lowVoltageShare = 0.75;

/** Half would leave many loads right where they just work, and say nothing of them (judgement, no source). */
const currentLeft = 1 / 3;

/** Too little resistance, as a share of what it should be (judgement, no source). */
const lowResistanceShare = 0.5;

/**
 * A bad connection, or a part with too much resistance, stands with the ohms that leave a third of its current in the
 * state in which it carries most; one that carries none, or beside which another path carries the rest, with the middle
 * of the range on a scale of ratios. Two digits: it is a choice, no finding.
 */
function standingValue(variable: VariableFault, views: readonly View[]): number {
  const { least, most } = variable.range;
  const value = Number((chosenValue(variable, views) ?? Math.sqrt(least * most)).toPrecision(2));
  return Math.min(most, Math.max(least, value));
}

function chosenValue(
  { mode, sound, range, changes }: VariableFault,
  views: readonly View[],
): number | undefined {
  if (mode === 'low-voltage') return lowVoltageShare * sound;
  const worn = changes(1).find((change) => change.kind === 'worn');
  if (worn?.kind !== 'worn') return undefined;
  if (mode === 'high-resistance') return throttlingOhms(views, worn.branch, range.least);
  return lowResistanceShare * sound;
}

/** The ohms of a branch that leave `currentLeft` where it carries most, all that the network moves staying as it is. */
function throttlingOhms(views: readonly View[], branch: number, least: number): number | undefined {
  let ohms: number | undefined;
  let most = leastAmps;
  for (const view of views) {
    if (!isPresent(view, branch)) continue;
    const curves = curvesOfOhms(view, branch);
    for (const frequency of view.point.phasors.keys()) {
      const curve = curves.amps(frequency, branch);
      const { re, im } = valueAt(curve, ohmsIn(view, frequency, branch));
      const amps = Math.hypot(re, im);
      const found = whereAtMost(curve, amps * currentLeft)[0]?.low;
      // Not so for a NaN, of what lets nothing through at this frequency.
      if (amps > most && found !== undefined && found >= least) {
        most = amps;
        ohms = found;
      }
    }
  }
  return ohms;
}

/** NaN where nothing flows at this frequency. */
function ohmsIn(view: View, frequency: number, branch: number): number {
  const { re, im } = view.admittance(frequency, branch);
  return re / (re * re + im * im);
}
