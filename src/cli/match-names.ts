import ignore from 'ignore';
import picomatch from 'picomatch';

/** A pattern of file names: the folder it starts in, and whether a path below that folder is meant. */
export interface NamePattern {
  /** `.` for the working folder. */
  readonly base: string;
  readonly matches: (below: string) => boolean;
}

/** A glob as a shell has it (`*`, `**`, `?`, `[a-c]`, `{a,b}`), with forward slashes; undefined for a plain name. */
export function readGlob(text: string): NamePattern | undefined {
  const { isGlob, base, glob } = picomatch.scan(text.replace(/^(?:\.\/+)+/, ''), globRules);
  return isGlob ? { base: base === '' ? '.' : base, matches: picomatch(glob, globRules) } : undefined;
}

/** A leading `!` is part of a name: what is to be left out stands in a .gitignore. */
const globRules = { nonegate: true } as const;

/** Whether a .gitignore leaves out a path below its folder (a folder's ends in a slash); undefined: it has no say. */
export type Ignores = (below: string) => boolean | undefined;

export function readIgnores(text: string): Ignores {
  const rules = ignore({ ignorecase: false }).add(text);
  return (below) => {
    const { ignored, unignored } = rules.test(below);
    return ignored || unignored ? ignored : undefined;
  };
}
