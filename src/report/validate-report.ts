import { clean } from './clean.js';
import { fold } from './columns.js';
import { count } from './number.js';
import { paintFor } from './paint.js';
import { problemFields, type RatedProblem, showProblems, type TerminalStyle } from './show-problem.js';

/** One circuit file looked at: its problems, and how much was done where it could be solved. */
export interface ValidatedFile {
  readonly path: string;
  readonly problems: readonly RatedProblem[];
  readonly more: number;
  /** Absent when the circuit could not be built. */
  readonly done?: {
    readonly parts: number;
    readonly nodes: number;
    readonly states: number;
    readonly complete: boolean;
    readonly expectations: readonly { readonly index: number; readonly holds: boolean }[];
  };
}

export function isValid(file: ValidatedFile): boolean {
  return file.more === 0 && file.problems.every(({ severity }) => severity !== 'error');
}

/** Each file's verdict in a line, its problems below it, and a count at the end. */
export function validateTable(files: readonly ValidatedFile[], style: TerminalStyle): string {
  const paint = paintFor(style.level);
  const blocks = files.map((file) => {
    const good = isValid(file);
    const head = paint[good ? 'good' : 'bad'](fold(headline(file, good), style));
    const problems = showProblems(file.problems, file.more, style);
    return problems === '' ? head : `${head}\n\n${problems}`;
  });
  const valid = files.filter(isValid).length;
  const foot =
    files.length === 1
      ? []
      : [`${count(files.length, 'file')}, ${valid} valid, ${files.length - valid} not.`];
  const apart = files.some((file) => file.problems.length > 0) ? '\n\n' : '\n';
  return `${[...blocks, ...foot].join(apart)}\n`;
}

function headline({ path, done }: ValidatedFile, good: boolean): string {
  const verdict = `${clean(path)}: ${good ? 'valid' : 'not valid'}`;
  if (done === undefined) return `${verdict}.`;
  const { parts, nodes, states, complete, expectations } = done;
  const held = expectations.filter((each) => each.holds).length;
  const looked = `${complete ? 'all' : 'the first'} ${count(states, 'state')} solved`;
  const own =
    expectations.length === 0
      ? 'no expectations of its own'
      : `${held} of ${count(expectations.length, 'expectation')} hold`;
  return `${verdict}. ${count(parts, 'part')}, ${count(nodes, 'node')}, ${looked}, ${own}.`;
}

/** The `validate` answer of schemas/report.schema.json. */
export function validateJson(files: readonly ValidatedFile[]): Readonly<Record<string, unknown>> {
  return {
    files: files.map((file) => ({
      path: file.path,
      verdict: isValid(file) ? 'valid' : 'invalid',
      problems: file.problems.map(({ problem, severity }) => problemFields(problem, severity)),
      more: file.more,
      ...(file.done === undefined
        ? { expectations: [] }
        : {
            parts: file.done.parts,
            nodes: file.done.nodes,
            states: file.done.states,
            complete: file.done.complete,
            expectations: file.done.expectations.map(({ index, holds }) => ({
              index,
              verdict: holds ? 'agrees' : 'differs',
            })),
          }),
    })),
  };
}
