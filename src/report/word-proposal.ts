import type { Json } from '../answers.js';
import type { Circuit } from '../circuit/circuit.js';
import type { CostKind, Proposal, ReadingOutcome } from '../diagnose/diagnose.js';
import { clean } from './clean.js';
import { count, jsonNumber } from './number.js';
import { expectedJson, wordExpected } from './word-expected.js';
import { faultJson, wordPart } from './word-fault.js';
import { wordState } from './word-state.js';

/** Where the leads go and what is set, as one would say it: state, leads, function. */
export function wordProposal(circuit: Circuit, proposal: Pick<Proposal, 'state' | 'probe'>): string {
  const { state } = proposal;
  const power = state.power ? 'power on' : 'proved dead';
  return `${wordState(state)}, ${power}: ${wordLeads(circuit, proposal)}, ${wordFunction(circuit, proposal)}`;
}

export function wordLeads(circuit: Circuit, { probe: { where } }: Pick<Proposal, 'probe'>): string {
  if (where.kind === 'around') return `clamp around ${clean(circuit.branches[where.branch]?.name ?? '')}`;
  return `red on ${nodeName(circuit, where.red)}, black on ${nodeName(circuit, where.black)}`;
}

export function wordFunction(
  circuit: Circuit,
  { probe: { unit, current, meter } }: Pick<Proposal, 'probe'>,
): string {
  if (unit === 'ohm') return 'ohms';
  if (unit === 'A') return 'amps';
  return `volts ${current ?? onlyCurrent(circuit)}, ${meter.input} input`;
}

function onlyCurrent({ supplies }: Circuit): 'ac' | 'dc' {
  return [...supplies.values()].every(({ hertz }) => hertz === 0) ? 'dc' : 'ac';
}

function nodeName({ nodes }: Circuit, node: number): string {
  return clean(nodes[node]?.name ?? '');
}

/** `108.2 to 133.6 V`; OL; what may be a stray is told. */
export function wordOutcome({ low, high, unit, stray }: ReadingOutcome): string {
  if (low === Number.POSITIVE_INFINITY) return 'OL';
  const band = wordExpected({ kind: 'driven', low, nominal: low, high, unit });
  return stray ? `${band}, or a stray` : band;
}

/** Parts named before the rest is counted. */
const mostNamed = 3;

/** What an outcome leaves: `B2 (button, speed 2)`; the first few of many. */
export function wordLeft(circuit: Circuit, { left }: ReadingOutcome): string {
  const names = left.slice(0, mostNamed).map(({ parts }) => wordParts(circuit, parts));
  const rest = left.length - names.length;
  return `${names.join('; ')}${rest > 0 ? `; and ${rest} more` : ''}`;
}

/** Exchanged wires are two parts. */
export function wordParts(circuit: Circuit, parts: readonly string[]): string {
  const [only, second] = parts;
  if (second === undefined) return only === undefined ? '' : wordPart(circuit, only);
  return parts.map((part) => clean(part)).join(' and ');
}

const costWords: Readonly<Record<CostKind, string>> = {
  access: 'getting there',
  'red lead': 'red lead',
  'black lead': 'black lead',
  clamp: 'clamp',
  input: "the meter's input",
  state: 'setting the state',
  'live work': 'care with live parts',
  isolate: 'isolating and proving dead',
  restore: 'power back on',
  lift: 'wires off or back on',
  unplug: 'connectors',
};

/** `about 6.8 minutes (getting there 4, control cover; red lead 0.5)`. */
export function wordCost({ minutes, cost }: Proposal): string {
  const parts = cost.map(({ what, minutes: each, of = [] }) => {
    const names = of.length === 0 ? '' : `, ${of.map((name) => clean(name)).join(' and ')}`;
    return `${costWords[what]} ${short(each)}${names}`;
  });
  return `about ${count(short(minutes), 'minute')}${parts.length === 0 ? '' : ` (${parts.join('; ')})`}`;
}

/** To a tenth: more would be pretended. */
function short(minutes: number): number {
  return Number(minutes.toFixed(1));
}

export function wordBits(bits: number): string {
  return `${bits.toFixed(2)} bits`;
}

/** The `nextReading` of schemas/report.schema.json. */
export function proposalJson(circuit: Circuit, proposal: Proposal): Json.NextReading {
  const { state, probe, live, minutes, bits, cost, sound, shows, outcomes } = proposal;
  const { where, unit, current, meter } = probe;
  const leads =
    where.kind === 'around'
      ? { on: circuit.branches[where.branch]?.name ?? '' }
      : { red: circuit.nodes[where.red]?.name ?? '', black: circuit.nodes[where.black]?.name ?? '' };
  return {
    in: state.changes,
    ...leads,
    function: unit === 'V' && current !== undefined ? `V ${current}` : unit,
    input: meter.input,
    live,
    minutes: jsonNumber(minutes),
    bits: jsonNumber(bits),
    cost: cost.map(({ what, minutes: each, of = [] }) => ({ what, minutes: jsonNumber(each), of })),
    sound: sound === undefined ? null : expectedJson(sound),
    tells: shows.map(({ suspect, shows: each }) => ({
      faults: suspect.faults.map(faultJson),
      weight: Number(suspect.weight.toPrecision(12)),
      shows: each.map(expectedJson),
    })),
    outcomes: outcomes.map(outcomeJson),
  };
}

function outcomeJson({ low, high, unit, stray, weight, left }: ReadingOutcome): Json.Outcome {
  const over = low === Number.POSITIVE_INFINITY;
  return {
    low: over ? null : jsonNumber(low),
    high: over ? null : jsonNumber(high),
    unit,
    over,
    stray,
    weight: jsonNumber(weight),
    left: left.map(({ parts, share }) => ({ parts, share: jsonNumber(share) })),
  };
}
