import { type Circuit, type Fault, listFaults, type VariableFault } from '../circuit/circuit.js';

/** Values drawn for a fault before it is left as one that nobody complains of. */
const draws = 6;

/** What is planted, each as the values it may be tried at: definite faults, and those of a value drawn from what is met. */
export function plantedFaults(circuit: Circuit, randomFor: (name: string) => () => number): Fault[][] {
  const variable = [...circuit.parts.values()].flatMap((part) => part.variableFaults ?? []);
  return [
    ...listFaults(circuit).map((fault) => [fault]),
    // A range of nothing: a capacitor's resistance.
    ...variable
      .filter(({ range }) => range.least < range.most)
      .map((each) => {
        const random = randomFor(`${each.part} ${each.at} ${each.mode}`);
        return Array.from({ length: draws }, () => valued(each, random));
      }),
  ];
}

function valued({ changes, sound, unit, range, ...fault }: VariableFault, random: () => number): Fault {
  const met = rangeOf(fault.mode, unit, sound);
  const [least, most] = [Math.max(met[0], range.least), Math.min(met[1], range.most)];
  const value = Number((least * (most / least) ** random()).toPrecision(4));
  return { ...fault, value: { low: value, high: value, unit }, changes: changes(value) };
}

/** Judgement, no source: what is met where a contact burns, a winding shorts turns, wet insulation leaks, a sensor drifts or a supply sags. */
function rangeOf(mode: Fault['mode'], unit: 'ohm' | 'V', sound: number): readonly [number, number] {
  if (mode === 'leaks-to-earth') return [20, 100_000];
  if (unit === 'V') return [0.5 * sound, 0.85 * sound];
  if (mode === 'low-resistance') return [0.05 * sound, 0.7 * sound];
  return sound < 1 ? [0.5, 2000] : [1.5 * sound, 50 * sound];
}
