import type { TraceAnswer, TracedOutput, TracedSide } from '../diagnose/diagnose.js';
import { cautions, shortCaution } from './cautions.js';
import { clean } from './clean.js';
import { fold } from './columns.js';
import { jsonNumber, showValue } from './number.js';
import { paintFor } from './paint.js';
import type { TerminalStyle } from './show-problem.js';
import { showTable } from './table.js';
import { wordPart } from './word-fault.js';
import { wordState } from './word-state.js';

/** The load of interest's supply path, walked from the supply, and the state it needs. */
export function traceTable(answer: TraceAnswer, style: TerminalStyle): string {
  const paint = paintFor(style.level);
  const lines = [paint.strong(fold(headline(answer), style))];
  for (const side of answer.sides) lines.push('', sideTable(answer, side, style));
  for (const output of answer.outputs) lines.push('', fold(wordOutput(answer, output), style));
  lines.push('', paint.faint(fold(shortCaution, style)));
  return `${lines.join('\n')}\n`;
}

function headline({ circuit, load, state, works, states, complete, volts }: TraceAnswer): string {
  const what = `${wordPart(circuit, load.part)}: ${clean(load.name)}, ${clean(load.job)}`;
  if (state === undefined) {
    const looked = complete ? `none of the ${states} states` : `none of the first ${states} states`;
    return `${what}. ${looked} gives it what it needs.`;
  }
  const across = volts === undefined ? '' : `, with ${showValue(volts, 'V')} across its supply`;
  return works
    ? `${what}. It works with: ${wordState(state)}${across}.`
    : `${what}. It does not work with: ${wordState(state)}${across}.`;
}

function sideTable({ circuit }: TraceAnswer, side: TracedSide, style: TerminalStyle): string {
  const { path, what, input, feeds } = side;
  const end = clean(circuit.nodes[side.end]?.name ?? '');
  if (path === undefined) return `${end}: nothing leads there in this state.`;
  const winding = circuit.parts.get(path.supply)?.kind === 'transformer';
  const which = winding ? (path.live ? 'One side' : 'Other side') : path.live ? 'Line side' : 'Neutral side';
  const role =
    what === 'signal'
      ? `Start signal ${clean(input ?? '')}`
      : which + (feeds === undefined ? '' : ` of ${clean(feeds)}`);
  const rows = path.steps.map(({ branch, to }) => {
    const { part = '', name = '' } = circuit.branches[branch] ?? {};
    const whole = wordPart(circuit, part);
    const contact = name.startsWith(`${part}.`) ? `, ${clean(name.slice(part.length + 1))}` : '';
    return [clean(circuit.nodes[to]?.name ?? ''), `${whole}${contact}`];
  });
  const head = `${role}: from ${clean(path.supply)} ${clean(path.leg)} to ${end}`;
  const start = [
    clean(circuit.nodes[path.terminal]?.name ?? ''),
    winding ? 'winding terminal' : 'supply terminal',
  ];
  return `${fold(head, style)}\n${showTable(['place', 'reached through'], [start, ...rows], style, [1])}`;
}

function wordOutput({ circuit }: TraceAnswer, { output, inputs }: TracedOutput): string {
  const signals = inputs.map(
    ({ name, node, volts }) =>
      `${clean(name)} at ${clean(circuit.nodes[node]?.name ?? '')} (${showValue(volts, 'V')})`,
  );
  const given = signals.length === 0 ? 'no signal' : signals.join(' and ');
  const sees = circuit.parts.get(output)?.kind === 'relay' ? 'it has' : 'its module sees';
  return `${clean(output)} must close on this path; ${sees} ${given}.`;
}

/** The `trace` answer of schemas/report.schema.json: steps from the supply to the load on each side. */
export function traceJson(answer: TraceAnswer): Readonly<Record<string, unknown>> {
  const { sides, state, works, load, volts, states, complete, outputs, circuit } = answer;
  const [line, neutral] = sides.filter((side) => side.what === 'supply' && side.feeds === undefined);
  const feeds = sides.filter((side) => side.feeds !== undefined);
  return {
    load: load.name,
    job: load.job,
    in: state === undefined ? null : state.changes,
    works,
    volts: volts === undefined ? null : jsonNumber(volts),
    line: line === undefined ? [] : stepsJson(answer, line),
    neutral: neutral === undefined ? [] : stepsJson(answer, neutral),
    signals: sides
      .filter((side) => side.what === 'signal')
      .map((side) => ({ input: side.input, steps: stepsJson(answer, side) })),
    feeds: feeds.map((side) => ({ transformer: side.feeds, steps: stepsJson(answer, side) })),
    outputs: outputs.map(({ output, inputs }) => ({
      output,
      inputs: inputs.map(({ name, node }) => ({ input: name, node: circuit.nodes[node]?.name })),
    })),
    states,
    complete,
    cautions,
  };
}

function stepsJson({ circuit }: TraceAnswer, { path }: TracedSide): readonly unknown[] {
  if (path === undefined) return [];
  const kind = circuit.parts.get(path.supply)?.kind ?? null;
  const start = { node: circuit.nodes[path.terminal]?.name, part: path.supply, kind, colour: null };
  const steps = path.steps.map(({ branch, to }) => {
    const part = circuit.parts.get(circuit.branches[branch]?.part ?? '');
    return {
      node: circuit.nodes[to]?.name,
      part: part?.name ?? null,
      kind: part?.kind ?? null,
      colour: part?.colour ?? null,
    };
  });
  return [start, ...steps];
}
