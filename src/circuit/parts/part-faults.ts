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

/** The same part with another resistance than it should have; `sound` is NaN where that hangs on a condition. */
export function driftedResistance(
  part: string,
  branch: number,
  sound: Ohms,
  tolerance: Ratio,
): VariableFault[] {
  const known = !Number.isNaN(sound);
  const most = known ? faultRange.drift * sound : faultRange.mostOhms;
  const ranges = {
    'high-resistance': { least: known ? sound * (1 + tolerance) : faultRange.leastOhms, most },
    'low-resistance': {
      least: known ? sound / faultRange.drift : faultRange.leastOhms,
      most: known ? sound * (1 - tolerance) : most,
    },
  };
  return (['high-resistance', 'low-resistance'] as const).map((mode) => ({
    part,
    mode,
    unit: 'ohm',
    sound,
    range: ranges[mode],
    changes: (ohms) => [{ kind: 'worn', branch, ohms }],
  }));
}
