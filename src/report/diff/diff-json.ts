import type { DiffAnswer, Fact } from '../../diagnose/diagnose.js';
import type { Expected } from '../../meter/meter.js';
import { cautions } from '../cautions.js';
import { jsonNumber } from '../number.js';

type Json = Readonly<Record<string, unknown>>;

/** The `diff` answer of schemas/report.schema.json: every change in every state, by name. */
export function diffJson(answer: DiffAnswer, isSame: boolean): Json {
  const difference = {
    against: answer.against ?? null,
    compared: answer.compared,
    complete: answer.complete,
    parts: answer.parts.map(({ part, kind, facts }) => ({
      part,
      kind,
      facts: facts.map(({ before, after }) => ({
        of: (after ?? before)?.of,
        fact: (after ?? before)?.kind,
        before: factValue(before),
        after: factValue(after),
      })),
    })),
    onlyBefore: {
      points: answer.gonePoints,
      loads: answer.goneLoads,
      states: answer.goneStates.map(({ changes }) => changes),
    },
    onlyAfter: {
      points: answer.newPoints,
      loads: answer.newLoads,
      states: answer.newStates.map(({ changes }) => changes),
    },
    outcomes: answer.outcomes.map(({ state, before, after }) => ({
      in: state.changes,
      before: before.kind,
      after: after.kind,
    })),
    readings: answer.readings.map(({ state, node, before, after }) => ({
      in: state.changes,
      node,
      before: readingJson(before),
      after: readingJson(after),
    })),
    loads: answer.loads.map(({ state, load, before, after }) => ({
      in: state.changes,
      load,
      before: loadJson(before),
      after: loadJson(after),
    })),
  };
  return { verdict: isSame ? 'same' : 'changed', difference, cautions };
}

function factValue(fact: Fact | undefined): string | number | null {
  if (fact === undefined) return null;
  return typeof fact.value === 'number' ? jsonNumber(fact.value) : fact.value;
}

function readingJson(expected: Expected): Json {
  return expected.kind === 'driven'
    ? { kind: 'driven', nominal: jsonNumber(expected.nominal), unit: expected.unit }
    : { kind: 'floating' };
}

function loadJson({ works, volts, amps }: DiffAnswer['loads'][number]['before']): Json {
  const number = (value: number | undefined) => (value === undefined ? null : jsonNumber(value));
  return { works: works === 'marginal' ? null : works === 'yes', volts: number(volts), amps: number(amps) };
}
