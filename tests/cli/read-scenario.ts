/**
 * A scenario is one text file: what it shows, the files there are at first, and lines of bash one after the other with
 * what each prints and its exit status.
 *
 *   Prose, up to the first section.
 *   == needs parallel                            a program without which it is skipped
 *   == file hood.circuit.yaml = examples/range-hood/range-hood.circuit.yaml     a copy from the package
 *   == file bad.circuit.yaml                                                   or the text that follows
 *   == run loadside validate .
 *   == stdin | == stdout | == stderr                                           as they are; absent where empty
 *   == status 0
 */
export interface Scenario {
  readonly about: string;
  readonly needs: readonly string[];
  readonly files: readonly ScenarioFile[];
  readonly runs: readonly ScenarioRun[];
}

export type ScenarioFile =
  | { readonly name: string; readonly copyOf: string }
  | { readonly name: string; readonly text: string };

export interface ScenarioRun {
  readonly line: string;
  readonly stdin: string;
  readonly stdout: string;
  readonly stderr: string;
  /** Undefined in one that was not run yet. */
  readonly status: number | undefined;
}

interface Section {
  readonly kind: string;
  readonly rest: string;
  readonly body: string;
}

/** Throws an `Error` with the section that is none. */
export function readScenario(text: string): Scenario {
  const [about = '', ...parts] = text.split(/^== /m);
  const sections = parts.map((part): Section => {
    const [, kind = '', rest = '', body = ''] = /^(\w+)(?: (.*))?\n([\s\S]*)$/.exec(part) ?? [];
    return { kind, rest: rest.trim(), body };
  });
  const needs: string[] = [];
  const files: ScenarioFile[] = [];
  const runs: ScenarioRun[] = [];
  for (const { kind, rest, body } of sections) {
    const last = runs.at(-1);
    if (kind === 'needs') needs.push(rest);
    else if (kind === 'file') files.push(fileOf(rest, body));
    else if (kind === 'run') runs.push({ line: rest, stdin: '', stdout: '', stderr: '', status: undefined });
    else if (last !== undefined && kind === 'status')
      runs[runs.length - 1] = { ...last, status: Number(rest) };
    else if (last !== undefined && (kind === 'stdin' || kind === 'stdout' || kind === 'stderr'))
      runs[runs.length - 1] = { ...last, [kind]: body };
    else throw new Error(`no section of a scenario: == ${kind} ${rest}`);
  }
  return { about, needs, files, runs };
}

function fileOf(rest: string, text: string): ScenarioFile {
  const [, name, copyOf] = /^(\S+) = (\S+)$/.exec(rest) ?? [];
  return name !== undefined && copyOf !== undefined ? { name, copyOf } : { name: rest, text };
}

/** The same text again. */
export function writeScenario({ about, needs, files, runs }: Scenario): string {
  const section = (kind: string, body: string) => (body === '' ? '' : `== ${kind}\n${body}`);
  return [
    about,
    ...needs.map((name) => `== needs ${name}\n`),
    ...files.map((file) =>
      'copyOf' in file ? `== file ${file.name} = ${file.copyOf}\n` : `== file ${file.name}\n${file.text}`,
    ),
    ...runs.map(
      ({ line, stdin, stdout, stderr, status }) =>
        `== run ${line}\n${section('stdin', stdin)}${section('stdout', stdout)}${section('stderr', stderr)}== status ${status}\n`,
    ),
  ].join('');
}
