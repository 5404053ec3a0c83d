import { problemFields } from '../show-problem.js';
import { countsOf, isValid, type ValidateAnswer, type ValidatedFile, verdictOf } from './validated.js';

/** The `validate` answer of schemas/report.schema.json. */
export function validateJson(answer: ValidateAnswer): Readonly<Record<string, unknown>> {
  const { files, troubles, mostWarnings } = answer;
  return {
    verdict: verdictOf(answer),
    counts: countsOf(answer),
    mostWarnings: mostWarnings ?? null,
    troubles,
    files: files.map(fileJson),
  };
}

function fileJson(file: ValidatedFile): Readonly<Record<string, unknown>> {
  const { path, unreadable, problems, more, allowed, done } = file;
  return {
    path,
    verdict: isValid(file) ? 'valid' : 'invalid',
    unreadable,
    problems: problems.map(({ problem, severity }) => problemFields(problem, severity)),
    more,
    allowed: allowed.map(({ problem, severity, reason }) => ({
      ...problemFields(problem, severity),
      reason,
    })),
    ...(done === undefined
      ? { expectations: [] }
      : {
          parts: done.parts,
          nodes: done.nodes,
          states: done.states,
          complete: done.complete,
          expectations: done.expectations.map(({ index, holds }) => ({
            index,
            verdict: holds ? 'agrees' : 'differs',
          })),
        }),
  };
}
