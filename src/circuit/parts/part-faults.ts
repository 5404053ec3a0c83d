import { defaultOhms, faultRange } from '../defaults.js';
import type { Fault, VariableFault } from '../fault.js';
import type { Ohms, Ratio } from '../units.js';

/** A contact that never closes, and one that never opens. */
export function contactFaults(part: string, at: string | undefined, branch: number): Fault[] {
  const where = at === undefined ? {} : { at };
  return [
    { part, mode: 'stuck-open', ...where, changes: [{ kind: 'absent', branch }] },
    {
      part,
      mode: 'stuck-closed',
      ...where,
      changes: [{ kind: 'conducts', branch, ohms: defaultOhms.shorted }],
    },
  ];
}

/** A contact that is burnt: it conducts, badly, whenever it is closed. */
export function wornContact(
  part: string,
  at: string | undefined,
  branch: number,
  sound: Ohms,
): VariableFault[] {
  return [
    {
      part,
      mode: 'high-resistance',
      ...(at === undefined ? {} : { at }),
      unit: 'ohm',
      sound,
      range: { least: sound + faultRange.wornOhms, most: Math.max(faultRange.mostOhms, 1e3 * sound) },
      changes: (ohms) => [{ kind: 'worn', branch, ohms }],
    },
  ];
}

/** A winding, an element or a capacitor that is broken, or burnt together. */
export function openOrShorted(part: string, branch: number): Fault[] {
  return [
    { part, mode: 'open', changes: [{ kind: 'absent', branch }] },
    { part, mode: 'shorted', changes: [{ kind: 'conducts', branch, ohms: defaultOhms.shorted }] },
  ];
}

/** The same part with another resistance than it should have. */
export function driftedResistance(
  part: string,
  branch: number,
  sound: Ohms,
  tolerance: Ratio,
): VariableFault[] {
  return [
    drift(part, 'high-resistance', branch, sound, {
      least: sound * (1 + tolerance),
      most: faultRange.drift * sound,
    }),
    drift(part, 'low-resistance', branch, sound, {
      least: sound / faultRange.drift,
      most: sound * (1 - tolerance),
    }),
  ];
}

/**
 * A sensor that has a resistance of its own whatever the temperature; `sound` is what it should have at rest. Near that no
 * value is left out: it is wrong at any other temperature.
 */
export function driftedSensor(part: string, branch: number, sound: Ohms): VariableFault[] {
  return [
    drift(part, 'high-resistance', branch, sound, { least: sound, most: faultRange.mostOhms }),
    drift(part, 'low-resistance', branch, sound, { least: faultRange.leastOhms, most: sound }),
  ];
}

function drift(
  part: string,
  mode: 'high-resistance' | 'low-resistance',
  branch: number,
  sound: Ohms,
  range: VariableFault['range'],
): VariableFault {
  return { part, mode, unit: 'ohm', sound, range, changes: (ohms) => [{ kind: 'worn', branch, ohms }] };
}
