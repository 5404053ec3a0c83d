import type { Circuit, State } from '../circuit/circuit.js';
import type {
  Exchange,
  ReconnectAnswer,
  Reconnection,
  Shift,
  SlipEffect,
  TerminalRow,
} from '../diagnose/diagnose.js';
import { cautions } from './cautions.js';
import { clean } from './clean.js';
import { faceOf } from './connector-face.js';
import { count, jsonNumber, showValue } from './number.js';
import type { Block, Cell, Column, Table } from './paper/paper.js';
import { slipEffectsJson, slipProofJson, wordProof } from './slip-report.js';
import { faultJson, wordPart } from './word-fault.js';
import { inStates } from './word-state.js';
import { isolationTicks } from './worksheet-report.js';

const before: readonly string[] = [
  ...isolationTicks,
  'A picture taken before anything is moved',
  'Every wire marked before it comes off',
];

const after: readonly string[] = [
  'Every wire where this list says, tugged, nothing left over',
  'Covers, guards, clamps and seals back; earth wires back first',
  'Protective earth checked; insulation or leakage where local rules ask for it',
  'Switched on, every function tried, readings taken again',
];

/** Everything that comes off a part about to be replaced, and how it goes back. */
export function reconnectBlocks(answer: ReconnectAnswer): Block[] {
  const { circuit, part, rows } = answer;
  const what = circuit.connectors.get(part)?.title;
  const named = what === undefined ? wordPart(circuit, part) : `${part} (${what})`;
  return [
    { kind: 'heading', text: `Reconnect list: ${named}` },
    { kind: 'paragraph', text: cautions[0] ?? '', role: 'danger' },
    { kind: 'ticks', items: before },
    ...(rows.length === 0
      ? [{ kind: 'paragraph', text: `No wire of the circuit ends on ${named}.` } as const]
      : []),
    ...rows.flatMap((row) => rowBlocks(answer, row)),
    { kind: 'ticks', items: after },
  ];
}

function rowBlocks(answer: ReconnectAnswer, row: TerminalRow): Block[] {
  const face = faceOf(row);
  return [
    terminalTable(answer.circuit, row),
    ...(face === undefined ? [] : [face]),
    ...exchangeTable(answer, row),
  ];
}

function terminalTable(circuit: Circuit, { owner, terminals, connector }: TerminalRow): Table {
  const caption =
    connector === undefined ? `Wires on ${owner}` : `Wires on ${owner}, a side of ${connector.name}`;
  const columns: readonly Column[] = [
    { head: 'terminal', width: 11 },
    { head: 'for', width: 14, wraps: true },
    { head: 'wire', width: 20, wraps: true },
    { head: 'gauge', width: 11 },
    { head: 'goes to', width: 23, wraps: true },
    { head: 'marked, off', width: 10 },
    { head: 'back on', width: 11 },
  ];
  const rows = terminals.flatMap((each) => terminalRows(circuit, each));
  // Of a plug nothing is known of what its pins are for, and the column would be empty.
  const isTold = terminals.some(({ uses }) => uses.length > 0);
  const kept = <Item>(items: readonly Item[]) => items.filter((_, index) => isTold || index !== 1);
  return { kind: 'table', columns: kept(columns), groups: [{ caption, rows: rows.map(kept) }] };
}

function terminalRows(circuit: Circuit, { terminal, uses, wires }: Reconnection): Cell[][] {
  const use = uses.join(', ');
  if (wires.length === 0) {
    const why = terminal.hazard === undefined ? 'empty' : `keep off: ${terminal.hazard}`;
    return [[terminal.name, use, why, '', '', '', '']];
  }
  return wires.map(({ part, far }) => [
    terminal.name,
    use,
    part.colour === undefined ? part.name : `${part.colour}, ${part.name}`,
    part.gauge ?? 'not stated',
    wordFar(circuit, far.name),
    { box: '' },
    { box: '' },
  ]);
}

/** A terminal with the part it is on. */
function wordFar(circuit: Circuit, name: string): string {
  const [owner = ''] = name.split('.');
  const part = circuit.parts.get(owner);
  if (part !== undefined) return `${name} (${part.noun})`;
  const plug = [...circuit.connectors.values()].find(({ sides }) => sides.includes(owner));
  return plug === undefined ? name : `${name} (${plug.title ?? plug.name})`;
}

function exchangeTable(answer: ReconnectAnswer, { terminals }: TerminalRow): Table[] {
  const rows = terminals.flatMap(({ terminal, exchange }) =>
    exchange === undefined
      ? []
      : [[`${terminal.name} and ${exchange.neighbour.name}`, ...wordExchange(answer, exchange)]],
  );
  if (rows.length === 0) return [];
  return [
    {
      kind: 'table',
      columns: [
        { head: 'wires of', width: 20, wraps: true },
        { head: 'what it does', width: 46, wraps: true },
        { head: 'how it shows', width: 34, wraps: true },
      ],
      groups: [
        {
          caption: `If two neighbours are exchanged (${count(answer.states.length, 'state')} looked at)`,
          rows,
        },
      ],
    },
  ];
}

function wordExchange({ states }: ReconnectAnswer, { slip }: Exchange): [does: string, shows: string] {
  if (slip === undefined) return ['No difference: both come from one place.', ''];
  const does = [...wordChanged(slip.effects), ...slip.shifts.slice(0, mostTold).map(wordShift)];
  const shows =
    slip.proof === undefined ? 'No one voltage within reach: by colour and number.' : wordProof(slip.proof);
  return [
    does.length === 0
      ? `No load works otherwise in the ${count(states.length, 'state')} looked at.`
      : clean(`${does.join('. ')}.`),
    shows,
  ];
}

/** Of each kind of effect that many are told; the rest are counted. JSON has them all. */
const mostTold = 4;

/** `FAN (fan turns) fails in speed-1 and speed-2`: load by load, for the paper is narrow. */
function wordChanged(effects: readonly SlipEffect[]): string[] {
  const byWhat = new Map<string, State[]>();
  const add = (what: string, state: State) => byWhat.set(what, [...(byWhat.get(what) ?? []), state]);
  for (const { state, loads, opens } of effects) {
    if (opens !== undefined) add(`${opens} opens on too much current`, state);
    for (const { load, works } of loads)
      add(`${load.name} (${load.job}) ${works ? 'comes on unasked' : 'fails'}`, state);
  }
  const all = [...byWhat].map(([what, states]) => `${what} ${inStates(states)}`);
  const rest = all.length - mostTold;
  return rest > 0 ? [...all.slice(0, mostTold), `And ${rest} more`] : all;
}

function wordShift({ state, load, volts, soundVolts }: Shift): string {
  const what = `${load.name} (${load.job}) has ${showValue(volts, 'V')} in place of ${showValue(soundVolts, 'V')}`;
  return `${what} ${inStates([state])}`;
}

/** One of the `reconnect` of schemas/report.schema.json. */
export function reconnectJson({ part, rows, states }: ReconnectAnswer): Readonly<Record<string, unknown>> {
  return {
    part,
    terminals: rows.flatMap(({ terminals }) =>
      terminals.map(({ terminal, uses, wires, exchange }) => ({
        terminal: terminal.name,
        hazard: terminal.hazard ?? null,
        uses,
        wires: wires.map(({ part: wire, far }) => ({
          wire: wire.name,
          colour: wire.colour ?? null,
          gauge: wire.gauge ?? null,
          to: far.name,
        })),
        exchange:
          exchange === undefined
            ? null
            : {
                with: exchange.neighbour.name,
                fault: exchange.slip === undefined ? null : faultJson(exchange.slip.fault),
                effects: slipEffectsJson(exchange.slip?.effects ?? []),
                shifts: (exchange.slip?.shifts ?? []).map(({ state, load, volts, soundVolts }) => ({
                  in: state.changes,
                  load: load.name,
                  volts: jsonNumber(volts),
                  sound: jsonNumber(soundVolts),
                })),
                proof: slipProofJson(exchange.slip?.proof),
              },
      })),
    ),
    states: states.map(({ changes }) => changes),
  };
}
