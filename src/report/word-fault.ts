import type { Json } from '../answers.js';
import type { Circuit, Fault, PartKindName } from '../circuit/circuit.js';
import { clean } from './clean.js';
import { jsonNumber, showValue } from './number.js';

/** A fault in plain words, without the part's name: "does not close", "is open". */
export function wordMode(circuit: Circuit, fault: Fault): string {
  const at = fault.at === undefined ? '' : clean(fault.at);
  switch (fault.mode) {
    case 'open':
      return at === '' ? `${coilOr(circuit, fault)}is open` : `${at} winding is open`;
    case 'shorted':
      return at === '' ? `${coilOr(circuit, fault)}is shorted` : `${at} winding is shorted`;
    case 'stuck-open':
      return at === '' ? 'does not close' : `contact ${at} does not close`;
    case 'stuck-closed':
      return at === '' ? 'does not open' : `contact ${at} does not open`;
    case 'crossed':
      return fault.with === undefined
        ? 'has line and neutral exchanged at the outlet'
        : `is exchanged with ${clean(fault.with)}`;
    case 'wrong-pin':
      return `sits on ${at} in place of ${clean(leftEmpty(circuit, fault))}`;
    case 'dead':
      return wordDead(circuit, fault, at);
    case 'always-on':
      if (at !== '') return `output ${at} is always on`;
      if (kindOf(circuit, fault) === 'switch') return 'stays tripped and does not reset';
      return kindOf(circuit, fault) === 'relay' ? 'stays pulled in' : 'is always on';
    case 'missing':
      return at === '' ? 'is missing at the outlet' : `${at} is missing at the outlet`;
    case 'high-resistance':
    case 'low-resistance':
      return wordResistance(circuit, fault, at);
    case 'leaks-to-earth':
      return at === '' ? 'leaks to earth' : `leaks to earth at its terminal ${at}`;
    case 'low-voltage':
      return `gives too low a voltage${wordAmount(fault)}`;
  }
}

function wordResistance(circuit: Circuit, fault: Fault, at: string): string {
  if (sensorOf(circuit, fault) !== undefined) return wordDrift(circuit, fault);
  if (fault.mode === 'low-resistance') return `has too little resistance${wordAmount(fault)}`;
  if (isOfOhms(circuit, fault)) return `has too much resistance${wordAmount(fault)}`;
  return `${whereIn(circuit, fault, at)}has a bad connection (high resistance${wordAmount(fault)})`;
}

/** Which leg of a supply, or which contact. */
function whereIn(circuit: Circuit, fault: Fault, at: string): string {
  if (at === '') return '';
  return kindOf(circuit, fault) === 'supply' ? `${at} ` : `contact ${at} `;
}

function kindOf(circuit: Circuit, fault: Fault): PartKindName | undefined {
  return circuit.parts.get(fault.part)?.kind;
}

/** What is there for its resistance: too much of that is no bad connection. */
function isOfOhms(circuit: Circuit, { part }: Fault): boolean {
  const { kind, form } = circuit.parts.get(part) ?? {};
  return kind === 'load' || form === 'resistor';
}

function sensorOf({ parts, branches }: Circuit, { part }: Fault) {
  const [branch = -1] = parts.get(part)?.branches ?? [];
  return branches[branch]?.sensor;
}

/** "has drifted: 51.2 kohm to 52.4 kohm instead of 22.0 kohm at -5 degC", which is its rest. */
function wordDrift(circuit: Circuit, fault: Fault): string {
  const { variableFaults = [] } = circuit.parts.get(fault.part) ?? {};
  const sound = variableFaults.find(({ mode }) => mode === fault.mode)?.sound;
  const rest = circuit.conditions.get(sensorOf(circuit, fault)?.condition ?? '')?.rest;
  const amount = wordAmount(fault).replace(', ', ': ');
  if (sound === undefined || rest === undefined) return `has drifted${amount}`;
  return `has drifted${amount} instead of ${showValue(sound, 'ohm')} at ${rest} degC`;
}

function coilOr(circuit: Circuit, fault: Fault): string {
  return kindOf(circuit, fault) === 'relay' ? 'coil ' : '';
}

/** The terminal that a wire on the wrong pin should be on. */
function leftEmpty({ branches, nodes }: Circuit, { changes }: Fault): string {
  const [moved] = changes;
  if (moved?.kind !== 'moved') return '';
  const { from, to } = branches[moved.branch] ?? moved;
  return nodes[moved.from === from ? to : from]?.name ?? '';
}

function wordAmount({ value }: Fault): string {
  if (value === undefined) return '';
  const { low, high, unit } = value;
  if (low === high) return `, ${showValue(low, unit)}`;
  if (high === Number.POSITIVE_INFINITY) return `, more than ${showValue(low, unit)}`;
  if (low === 0) return `, less than ${showValue(high, unit)}`;
  return `, ${showValue(low, unit)} to ${showValue(high, unit)}`;
}

function wordDead(circuit: Circuit, fault: Fault, at: string): string {
  if (kindOf(circuit, fault) === 'switch') return 'stays reset and does not trip';
  if (kindOf(circuit, fault) === 'relay') return 'has its coil voltage and does not pull in';
  if (kindOf(circuit, fault) !== 'module') return 'has its voltage and does not do its job';
  return at === '' ? 'has what it needs and does nothing' : `does not give its output ${at}`;
}

/** What faults opened on the way: a protector, a transformer, or the building's own. */
export function wordOpened(circuit: Circuit, { part, mode }: Fault): string {
  return mode === 'missing'
    ? `the building's protector of ${clean(part)} opened`
    : `${wordPart(circuit, part)} opened`;
}

/** A part with what it is: "B2 (button, speed 2)". */
export function wordPart(circuit: Circuit, name: string): string {
  const noun = circuit.parts.get(name)?.noun;
  return noun === undefined ? clean(name) : `${clean(name)} (${clean(noun)})`;
}

/** The fault of schemas/report.schema.json. */
export function faultJson(fault: Fault): Json.Fault {
  const { part, mode, at, with: other, value } = fault;
  return {
    part,
    mode,
    ...(at === undefined ? {} : { at }),
    ...(other === undefined ? {} : { with: other }),
    ...(value === undefined
      ? {}
      : {
          value: {
            low: jsonNumber(value.low),
            high: value.high === Number.POSITIVE_INFINITY ? null : jsonNumber(value.high),
            unit: value.unit,
          },
        }),
  };
}
