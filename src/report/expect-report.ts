import type { ExpectAnswer, ExpectedLoad, ExpectedPoint } from '../diagnose/diagnose.js';
import { cautions, shortCaution } from './cautions.js';
import { clean } from './clean.js';
import { fold } from './columns.js';
import { jsonNumber, showValue } from './number.js';
import { paintFor } from './paint.js';
import type { TerminalStyle } from './show-problem.js';
import { showTable } from './table.js';
import { expectedJson, wordCause, wordExpected } from './word-expected.js';
import { faultJson, wordMode, wordPart } from './word-fault.js';
import { wordState } from './word-state.js';

/** What a meter reads at every test point of a state, and which loads do their job. */
export function expectTable(answer: ExpectAnswer, style: TerminalStyle): string {
  const paint = paintFor(style.level);
  const { outcome, hazardous } = answer;
  const lines = [paint.strong(fold(headline(answer), style)), ''];
  if (outcome.kind === 'steady') {
    lines.push(loadTable(outcome.loads, style), '', pointTable(outcome.points, style));
  } else lines.push(paint.bad(fold(wordUnsettled(answer), style)));
  if (hazardous.length > 0) {
    const names = hazardous.map((node) => `${clean(node.name)} (${clean(node.hazard ?? '')})`).join(', ');
    lines.push('', fold(`Never probed: ${names}.`, style));
  }
  lines.push('', paint.faint(fold(shortCaution, style)));
  return `${lines.join('\n')}\n`;
}

function headline({ circuit, state, faults, against, input }: ExpectAnswer): string {
  const broken = faults.map((fault) => `${wordPart(circuit, fault.part)} ${wordMode(circuit, fault)}`);
  const sound = broken.length === 0 ? '' : `, if ${broken.join(' and ')}`;
  return `${clean(circuit.title)}: ${wordState(state)}${sound}. Black lead on ${clean(against.name)}, ${input} input.`;
}

function wordUnsettled({ circuit, outcome }: ExpectAnswer): string {
  if (outcome.kind === 'short') {
    const path = outcome.path.map((branch) => clean(circuit.branches[branch]?.name ?? ''));
    return `Short circuit through ${path.join(', ')}: a fuse or breaker opens. Nothing is predicted for it.`;
  }
  if (outcome.kind === 'chattering') {
    const steps = outcome.cycle.map((on) => (on.length === 0 ? 'none on' : on.map(clean).join(' and ')));
    return `The outputs never settle: ${steps.join(', then ')}, and again. Nothing is predicted for it.`;
  }
  return '';
}

function loadTable(loads: readonly ExpectedLoad[], style: TerminalStyle): string {
  if (loads.length === 0) return 'No load has a job here.';
  const rows = loads.map(({ load, works, volts, amps }) => [
    clean(load.name),
    works === 'marginal' ? 'at its limit' : works === 'yes' ? 'works' : 'idle',
    volts === undefined ? '' : showValue(volts, 'V'),
    amps === undefined ? '' : showValue(amps, 'A'),
    clean(load.job),
  ]);
  return showTable(['load', 'does its job', 'volts', 'amps', 'job'], rows, style, [4]);
}

function pointTable(points: readonly ExpectedPoint[], style: TerminalStyle): string {
  const rows = points.map(({ node, expected }) => [
    clean(node.name),
    expected.kind === 'driven' ? showValue(expected.nominal, expected.unit) : 'floating',
    expected.kind === 'driven' ? wordExpected(expected) : `0 to ${showValue(expected.high, 'V')} stray`,
    expected.kind === 'floating' ? wordCause(expected.cause) : '',
  ]);
  return showTable(['test point', 'reads', 'band', 'why'], rows, style, [3]);
}

/** The `expect` answer of schemas/report.schema.json. */
export function expectJson(answer: ExpectAnswer): Readonly<Record<string, unknown>> {
  const { outcome, state, faults, against, input, hazardous, circuit } = answer;
  const steady = outcome.kind === 'steady';
  return {
    in: state.changes,
    faults: faults.map(faultJson),
    input,
    outcome: outcome.kind,
    ...(outcome.kind === 'short'
      ? { path: outcome.path.map((branch) => circuit.branches[branch]?.name) }
      : {}),
    ...(outcome.kind === 'chattering' ? { cycle: outcome.cycle } : {}),
    points: steady
      ? outcome.points.map(({ node, expected }) => ({
          node: node.name,
          against: against.name,
          expected: expectedJson(expected),
        }))
      : [],
    loads: steady ? outcome.loads.map(loadJson) : [],
    neverProbed: hazardous.map((node) => ({ node: node.name, hazard: node.hazard })),
    cautions,
  };
}

function loadJson({ load, works, volts, amps }: ExpectedLoad): Readonly<Record<string, unknown>> {
  return {
    load: load.name,
    works: works === 'marginal' ? null : works === 'yes',
    volts: volts === undefined ? null : jsonNumber(volts),
    amps: amps === undefined ? null : jsonNumber(amps),
  };
}
