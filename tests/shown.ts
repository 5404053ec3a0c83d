/** What a page in Markdown shows: blocks of code, files among them, and commands with what they print. */
import { type Ran, run } from './cli/run.js';

/** A command with the lines below it, up to the next one. */
interface Shown {
  readonly command: string;
  readonly output: string;
}

export interface Page {
  /** The blocks of a language. */
  readonly bodies: (language: string) => readonly string[];
  /** The files shown, by the name in their first line: commands find them as if they were saved. */
  readonly files: Readonly<Record<string, string>>;
  readonly shown: readonly Shown[];
  /** As a shell would split it: no command shown needs quotes. */
  readonly runShown: (command: string) => Promise<Ran>;
}

export function pageOf(text: string): Page {
  const blocks = [...text.matchAll(/^```(\w+)\n([\s\S]*?)^```$/gm)];
  const bodies = (language: string) =>
    blocks.filter(([, its]) => its === language).map(([, , body = '']) => body);
  const files = Object.fromEntries(bodies('yaml').map((body) => [/^# (\S+)\n/.exec(body)?.[1] ?? '', body]));
  const shown = bodies('console').flatMap((body) =>
    [...body.matchAll(/^\$ (loadside .*)\n((?:(?!\$ ).*\n)*)/gm)].map(([, command = '', output = '']) => ({
      command,
      output,
    })),
  );
  return { bodies, files, shown, runShown: (command) => run(command.split(' ').slice(1), { files }) };
}
