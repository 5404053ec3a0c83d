import type { ExpectReport, Fields, Json, StateFields } from '../answers.js';
import type { Circuit, State } from '../circuit/circuit.js';
import type { ExpectAnswer, ExpectedLoad, ExpectedPoint } from '../diagnose/diagnose.js';
import { cautions, shortCaution } from './cautions.js';
import { clean } from './clean.js';
import { fold } from './columns.js';
import { jsonNumber, roughAmps, showValue } from './number.js';
import { paintFor } from './paint.js';
import { listed } from './phrases.js';
import type { TerminalStyle } from './show-problem.js';
import { showTable } from './table.js';
import { expectedJson, wordCause, wordExpected } from './word-expected.js';
import { faultJson, wordMode, wordPart } from './word-fault.js';
import { wordState } from './word-state.js';

/** What a meter reads at every test point of a state, and which loads do their job. */
export function expectTable(answer: ExpectAnswer, style: TerminalStyle): string {
  const paint = paintFor(style.level);
  const { outcome, state } = answer;
  const lines = [paint.strong(fold(expectHeadline(answer, state), style)), ''];
  if (outcome.kind === 'steady') {
    if (outcome.openedBefore.length > 0)
      lines.push(paint.bad(fold(wordOpened(answer.circuit, outcome.openedBefore), style)), '');
    lines.push(loadTable(outcome.loads, style), '');
    if (outcome.adrift === undefined) lines.push(pointTable(outcome.points, style));
    else lines.push(...adriftLines(outcome.adrift, outcome.points, style));
    for (const line of relayLines(outcome)) lines.push('', fold(line, style));
  } else lines.push(paint.bad(fold(wordUnsettled(answer.circuit, outcome), style)));
  lines.push(...neverProbed(answer, style), '', paint.faint(fold(shortCaution, style)));
  return `${lines.join('\n')}\n`;
}

/** Hazardous nodes are not left out in silence. */
export function neverProbed({ hazardous }: Pick<ExpectAnswer, 'hazardous'>, style: TerminalStyle): string[] {
  if (hazardous.length === 0) return [];
  const names = hazardous.map((node) => `${clean(node.name)} (${clean(node.hazard ?? '')})`).join(', ');
  return ['', fold(`Never probed: ${names}.`, style)];
}

/** What is asked; `state` where it is one. */
export function expectHeadline(
  { circuit, faults, against, input }: Omit<ExpectAnswer, 'state' | 'outcome'>,
  state?: State,
): string {
  const broken = faults.map((fault) => `${wordPart(circuit, fault.part)} ${wordMode(circuit, fault)}`);
  const sound = broken.length === 0 ? '' : `, if ${broken.join(' and ')}`;
  const where = state === undefined ? 'every state' : wordState(state);
  return `${clean(circuit.title)}: ${where}${sound}. Black lead on ${clean(against.name)}, ${input} input.`;
}

type Outcome = ExpectAnswer['outcome'];
type Steady = Extract<Outcome, { kind: 'steady' }>;

/** A state in which nothing holds still to be read, with what opens or moves. */
export function wordUnsettled(circuit: Circuit, outcome: Exclude<Outcome, { kind: 'steady' }>): string {
  switch (outcome.kind) {
    case 'short': {
      const { protector, amps, path } = outcome;
      const opens =
        protector === undefined ? "the building's fuse or breaker opens" : `${clean(protector)} opens`;
      return `Short circuit through ${namesOf(circuit, path)}: ${opens}, after some ${roughAmps(amps)}. Nothing is predicted for it.`;
    }
    case 'overload': {
      const { protector, amps, ratedAmps, path } = outcome;
      return `${clean(protector)}, rated ${showValue(ratedAmps, 'A')}, carries ${showValue(amps, 'A')} and opens. The current goes through ${namesOf(circuit, path)}. Find what draws it; nothing else is predicted.`;
    }
    case 'chattering': {
      const { cycle, settles } = outcome;
      const race =
        settles.length === 0
          ? ''
          : ` It is a race: acting one after the other they could settle with ${settles.map(wordOn).join(', or with ')}.`;
      return `The contacts never settle: ${cycle.map(wordOn).join(', then ')}, and again (period ${cycle.length}).${race} Nothing is predicted for it.`;
    }
  }
}

function wordOpened(circuit: Circuit, names: readonly string[]): string {
  const supplies = names.filter((name) => circuit.supplies.has(name));
  const opened = names.map((name) =>
    supplies.includes(name) ? `the building's fuse or breaker for ${clean(name)}` : wordPart(circuit, name),
  );
  return `A state before this one opened ${opened.join(' and ')}, and it stays open: find the cause before it is replaced or reset.`;
}

function namesOf(circuit: Circuit, path: readonly number[]): string {
  return path.map((branch) => clean(circuit.branches[branch]?.name ?? '')).join(', ');
}

function wordOn(on: readonly string[]): string {
  return on.length === 0 ? 'none on' : `${on.map(clean).join(' and ')} on`;
}

/** Relays at their limits, and how else the state could stand. */
function relayLines({ relays, others }: Steady): string[] {
  const lines = relays
    .filter((relay) => relay.marginal)
    .map(
      ({ name, pulledIn, coilVolts }) =>
        `Marginal: ${clean(name)} has ${showValue(coilVolts, 'V')} on its coil, at or between its limits; here it is ${pulledIn ? 'pulled in' : 'released'}.`,
    );
  for (const on of others)
    lines.push(`It can also stand with ${wordOn(on)}, had something gone before it (say what with after:).`);
  return lines;
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
    expected.kind === 'driven' ? wordExpected(expected) : `stray 0 to ${showValue(expected.likely, 'V')}`,
    expected.kind === 'floating' ? wordCause(expected.cause) : '',
  ]);
  return showTable(['test point', 'reads', 'band', 'why'], rows, style, [3]);
}

/** A black lead that floats shows nothing anywhere, and that is one thing to say. */
function adriftLines(
  cause: NonNullable<Steady['adrift']>,
  points: readonly ExpectedPoint[],
  style: TerminalStyle,
): string[] {
  const joined = points
    .filter(({ expected }) => expected.kind === 'driven')
    .map(({ node }) => clean(node.name));
  const rest =
    joined.length === 0 ? '' : ` Only what is joined to it reads 0 V against it: ${listed(joined, 'and')}.`;
  return [
    `The black lead floats here (${wordCause(cause)}), so what a meter shows against it means nothing: every place reads floating, a live one too.${rest}`,
    'Leave out --black, which puts it on the first supply, or ask in a state that feeds that place.',
  ].map((line) => fold(line, style));
}

/** The `expect` answer of schemas/report.schema.json. */
export function expectJson(answer: ExpectAnswer): Fields<ExpectReport> {
  const { faults, input, hazardous } = answer;
  return {
    ...stateJson(answer),
    faults: faults.map(faultJson),
    input,
    neverProbed: hazardous.map((node) => ({ node: node.name, hazard: node.hazard ?? '' })),
    cautions,
  };
}

/** One state of an `expect` answer. */
export function stateJson({ circuit, state, outcome, against }: ExpectAnswer): StateFields {
  const head = { in: state.changes, outcome: outcome.kind };
  if (outcome.kind !== 'steady')
    return { ...head, ...unsettledJson(circuit, outcome), points: [], loads: [] };
  const points = outcome.points.map(({ node, expected }) => ({
    node: node.name,
    against: against.name,
    expected: expectedJson(expected),
  }));
  const relays = outcome.relays.map(({ name, pulledIn, coilVolts, marginal }) => ({
    relay: name,
    pulledIn,
    marginal,
    volts: jsonNumber(coilVolts),
  }));
  const { others, openedBefore } = outcome;
  return { ...head, points, loads: outcome.loads.map(loadJson), relays, others, openedBefore };
}

function unsettledJson(
  { branches }: Circuit,
  outcome: Exclude<Outcome, { kind: 'steady' }>,
): Partial<StateFields> {
  if (outcome.kind === 'chattering')
    return { cycle: outcome.cycle, period: outcome.cycle.length, settles: outcome.settles };
  const path = outcome.path.map((branch) => branches[branch]?.name ?? '');
  const amps = jsonNumber(outcome.amps);
  return outcome.kind === 'short'
    ? { path, amps, protector: outcome.protector ?? null }
    : { path, amps, protector: outcome.protector, ratedAmps: outcome.ratedAmps };
}

function loadJson({ load, works, volts, amps }: ExpectedLoad): Json.Load {
  return {
    load: load.name,
    works: works === 'marginal' ? null : works === 'yes',
    volts: volts === undefined ? null : jsonNumber(volts),
    amps: amps === undefined ? null : jsonNumber(amps),
  };
}
