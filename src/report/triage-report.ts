import type { Json } from '../answers.js';
import type { Circuit } from '../circuit/circuit.js';
import type { LoadInStates, Triage } from '../diagnose/diagnose.js';
import { clean } from './clean.js';
import { someOf } from './cleared-report.js';
import { wordPart } from './word-fault.js';
import { wordState } from './word-state.js';

/** Parts a line lists; of more it gives the number. */
const mostNames = 8;

/** A complaint before anything is measured, in sentences. */
export function triageLines(circuit: Circuit, { fails, works, cleared, start }: Triage): string[] {
  const lines = [`Not as it should: ${fails.map(wordLoad).join('; ')}.`];
  if (works.length > 0) lines.push(`Works: ${works.map(wordLoad).join('; ')}.`);
  if (cleared.length > 0)
    lines.push(
      `Cleared by what works, but for a bad connection: ${someOf(
        cleared.map((name) => wordPart(circuit, name)),
        mostNames,
      )}.`,
    );
  if (start !== undefined)
    lines.push(
      `Work from ${clean(start.load.name)} (${clean(start.load.job)}), in ${wordState(start.state)}.`,
    );
  return lines;
}

function wordLoad({ load, states }: LoadInStates): string {
  return `${clean(load.name)} in ${states.map(wordState).join(', ')}`;
}

export function triageJson({ fails, works, cleared, start }: Triage): Json.Triage {
  return {
    fails: fails.map(loadJson),
    works: works.map(loadJson),
    cleared,
    start: start === undefined ? null : { load: start.load.name, in: start.state.changes },
  };
}

function loadJson({ load, states }: LoadInStates): Json.LoadInStates {
  return { load: load.name, in: states.map(({ changes }) => changes) };
}
