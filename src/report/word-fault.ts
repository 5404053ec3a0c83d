import type { Circuit, Fault } from '../circuit/circuit.js';
import { clean } from './clean.js';

/** A fault in plain words, without the part's name: "does not close", "is open". */
export function wordMode(circuit: Circuit, fault: Fault): string {
  const at = fault.at === undefined ? '' : clean(fault.at);
  switch (fault.mode) {
    case 'open':
      return 'is open';
    case 'shorted':
      return 'is shorted';
    case 'stuck-open':
      return at === '' ? 'does not close' : `contact ${at} does not close`;
    case 'stuck-closed':
      return at === '' ? 'does not open' : `contact ${at} does not open`;
    case 'crossed':
      return `is exchanged with ${clean(fault.with ?? '')}`;
    case 'dead':
      return wordDead(circuit, fault, at);
    case 'always-on':
      return at === '' ? 'is always on' : `output ${at} is always on`;
    case 'missing':
      return at === '' ? 'is missing at the outlet' : `${at} is missing at the outlet`;
    case 'high-resistance':
      return 'has a bad connection (high resistance)';
    case 'low-resistance':
      return 'has too little resistance';
    case 'leaks-to-earth':
      return 'leaks to earth';
    case 'low-voltage':
      return 'gives too low a voltage';
  }
}

function wordDead(circuit: Circuit, fault: Fault, at: string): string {
  if (circuit.parts.get(fault.part)?.kind !== 'module') return 'has its voltage and does not do its job';
  return at === '' ? 'has what it needs and does nothing' : `does not give its output ${at}`;
}

/** A part with what it is: "B2 (button, speed 2)". */
export function wordPart(circuit: Circuit, name: string): string {
  const noun = circuit.parts.get(name)?.noun;
  return noun === undefined ? clean(name) : `${clean(name)} (${clean(noun)})`;
}

/** The fault of schemas/report.schema.json. */
export function faultJson(fault: Fault): Readonly<Record<string, unknown>> {
  const { part, mode, at, with: other } = fault;
  return { part, mode, ...(at === undefined ? {} : { at }), ...(other === undefined ? {} : { with: other }) };
}
