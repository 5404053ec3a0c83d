import { nearestName, readQuantity } from '../text/text.js';
import { plausible } from './defaults.js';
import type { Fault, VariableFault } from './fault.js';
import { faultName } from './fault.js';
import type { Circuit } from './model.js';

export type Designated =
  | { readonly ok: true; readonly fault: Fault }
  | {
      readonly ok: false;
      readonly found: string;
      readonly nearest: string | undefined;
      readonly allowed: readonly string[];
      /** What is wrong with the value of a fault that takes one, in words. */
      readonly value?: string;
    };

/** Every single fault of the circuit, in file order, wires exchanged or on the wrong pin last. */
export function listFaults(circuit: Circuit): readonly Fault[] {
  const own = [...circuit.parts.values()].flatMap((part) => part.faults);
  return [...own, ...circuit.crossings, ...circuit.wrongPins];
}

/**
 * `PART[.CONTACT]:MODE[=VALUE]` as the command line writes it. `open` and `shorted` are understood for a contact
 * (stuck open, stuck closed), and a crossed pair may be named from either wire. `B1:high-resistance=25 ohm` and
 * `MAINS:low-voltage=96 V` are faults of the value given.
 */
export function designateFault(circuit: Circuit, text: string): Designated {
  const wanted = text.trim();
  const all = listFaults(circuit);
  const fault = all.find((each) => names(each).includes(wanted));
  if (fault !== undefined) return { ok: true, fault };
  const part = longestPart(circuit, wanted);
  const variable = variableFaultsOf(circuit, part);
  const valued = designateValued(variable, wanted);
  if (valued !== undefined) return valued;
  const ofPart = [...faultsOf(all, part), ...variable.map(valuedExample)];
  if (ofPart.length > 0)
    return { ok: false, found: wanted, nearest: nearestName(wanted, ofPart), allowed: ofPart };
  return {
    ok: false,
    found: wanted,
    nearest: nearestPartFault(circuit, all, wanted),
    allowed: [...circuit.parts.keys()],
  };
}

/** A fault of a value, where text names one of a part's: made so, or what is wrong with the value. */
function designateValued(variable: readonly VariableFault[], wanted: string): Designated | undefined {
  const equals = wanted.indexOf('=');
  const name = (equals === -1 ? wanted : wanted.slice(0, equals)).trim();
  const found = variable.find((each) => variableName(each) === name);
  if (found === undefined) return undefined;
  const { changes, unit, sound, ...fault } = found;
  const range = unit === 'V' ? plausible.voltage : plausible.resistance;
  const text = equals === -1 ? '' : wanted.slice(equals + 1).trim();
  const read = readQuantity(text, unit === 'V' ? 'voltage' : 'resistance', range);
  const more = found.mode === 'high-resistance';
  if (read.ok && read.value > sound === more)
    return {
      ok: true,
      fault: { ...fault, value: { low: read.value, high: read.value, unit }, changes: changes(read.value) },
    };
  const side = !Number.isFinite(sound)
    ? ''
    : ` ${more ? 'above' : 'below'} ${Number(sound.toPrecision(3))} ${unit}`;
  const value = `it takes a value in ${unit}${side}`;
  return { ok: false, found: wanted, nearest: valuedExample(found), allowed: [], value };
}

function variableFaultsOf(circuit: Circuit, part: string | undefined): readonly VariableFault[] {
  return (part === undefined ? undefined : circuit.parts.get(part)?.variableFaults) ?? [];
}

function variableName({ part, mode, at }: VariableFault): string {
  return faultName({ part, mode, ...(at === undefined ? {} : { at }) });
}

/** How one is written, with a value somebody might give. */
function valuedExample(variable: VariableFault): string {
  const { sound, unit, mode } = variable;
  const known = Number.isFinite(sound) ? sound : 1000;
  const amount = mode === 'high-resistance' ? Math.max(0.5, 2 * known) : (4 * known) / 5;
  return `${variableName(variable)}=${Number(amount.toPrecision(2))} ${unit}`;
}

function faultsOf(all: readonly Fault[], part: string | undefined): string[] {
  return all
    .filter((each) => part !== undefined && (each.part === part || each.with === part))
    .map(faultName);
}

/** The same mode of the part that was most likely meant; its name alone where it has no such mode. */
function nearestPartFault(circuit: Circuit, all: readonly Fault[], wanted: string): string | undefined {
  const colon = wanted.lastIndexOf(':');
  const part = colon === -1 ? wanted : wanted.slice(0, colon);
  const nearest = nearestName(part, [...circuit.parts.keys()]);
  if (nearest === undefined) return undefined;
  const meant = `${nearest}${wanted.slice(part.length)}`;
  return all.find((each) => names(each).includes(meant)) === undefined ? faultsOf(all, nearest)[0] : meant;
}

function names(fault: Fault): string[] {
  const given = faultName(fault);
  const plain = given.replace(/:stuck-open$/, ':open').replace(/:stuck-closed$/, ':shorted');
  const turned =
    fault.with === undefined ? [] : [faultName({ ...fault, part: fault.with, with: fault.part })];
  return [given, plain, ...turned];
}

function longestPart(circuit: Circuit, wanted: string): string | undefined {
  let best: string | undefined;
  for (const name of circuit.parts.keys()) {
    const after = wanted.charAt(name.length);
    if (
      wanted.startsWith(name) &&
      (after === ':' || after === '.' || after === '') &&
      name.length > (best?.length ?? 0)
    )
      best = name;
  }
  return best;
}
