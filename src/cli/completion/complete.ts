import type { Argument, Command, Option } from 'commander';
import type { Candidate, NameKind } from './candidate.js';

/** What may stand where the cursor is: names of files, which the shell knows best, or words of ours. */
export type Completion =
  | { readonly kind: 'files' }
  | { readonly kind: 'words'; readonly candidates: readonly Candidate[] };

/** Names of one kind from the circuit that one of these files is or names; of each the next piece behind `typed`. */
export type NamesOf = (
  files: readonly string[],
  kind: NameKind,
  typed: string,
) => Promise<readonly Candidate[]>;

/**
 * Completes the last of `words`, which stand behind the program's name, from the command tree alone: subcommands,
 * options, choices. What a placeholder such as <state> stands for comes from the circuit that is named on the line, so
 * a command added to the tree completes with no more said about it.
 */
export async function complete(
  program: Command,
  words: readonly string[],
  namesOf: NamesOf,
): Promise<Completion> {
  const line = readLine(program, words.slice(0, -1));
  const typed = words.at(-1) ?? '';
  const { awaiting, command, files } = line;
  if (awaiting !== undefined) return valueAfter(awaiting, files, typed, namesOf);
  if (!line.optionsOver) {
    const { option, value } = optionIn(command, typed);
    if (option !== undefined && value !== undefined)
      return behind(`${option.long}=`, await valueAfter(option, files, value, namesOf));
    if (typed.startsWith('-')) return matching(optionsOf(command).flatMap(flagsOf), typed);
  }
  if (line.operands === 0 && command.commands.length > 0) return matching(subcommandsOf(command), typed);
  const argument = argumentAt(command, line.operands);
  if (argument === undefined) return nothing;
  if (argument.name() === 'command') return matching(subcommandsOf(program), typed);
  return valueAfter(argument, files, typed, namesOf);
}

const nothing: Completion = { kind: 'words', candidates: [] };

function matching(candidates: readonly Candidate[], typed: string): Completion {
  return { kind: 'words', candidates: candidates.filter(({ text }) => text.startsWith(typed)) };
}

function behind(start: string, completion: Completion): Completion {
  if (completion.kind === 'files') return completion;
  return {
    kind: 'words',
    candidates: completion.candidates.map((each) => ({ ...each, text: start + each.text })),
  };
}

interface Line {
  readonly command: Command;
  /** The option whose value comes next. */
  readonly awaiting: Option | undefined;
  /** How many arguments the command has so far. */
  readonly operands: number;
  /** Behind `--` everything is an argument. */
  readonly optionsOver: boolean;
  /** What may be a circuit or readings file; one given by an option goes before arguments. */
  readonly files: readonly string[];
}

function readLine(program: Command, words: readonly string[]): Line {
  let command = program;
  let awaiting: Option | undefined;
  let optionsOver = false;
  const operands: string[] = [];
  const circuits: string[] = [];
  const take = (option: Option, value: string) => {
    if (option.long === '--circuit') circuits.push(value);
  };
  for (const word of words) {
    if (awaiting !== undefined) {
      take(awaiting, word);
      awaiting = undefined;
    } else if (!optionsOver && word === '--') optionsOver = true;
    else if (!optionsOver && /^-./.test(word)) {
      const { option, value } = optionIn(command, word);
      if (option !== undefined && value !== undefined) take(option, value);
      else if (option?.required === true) awaiting = option;
    } else {
      const inner = operands.length === 0 ? subcommandOf(command, word) : undefined;
      if (inner === undefined) operands.push(word);
      else command = inner;
    }
  }
  return { command, awaiting, operands: operands.length, optionsOver, files: [...circuits, ...operands] };
}

/** `--state speed-1` stands in two words, `--state=speed-1` in one. */
function optionIn(
  command: Command,
  word: string,
): { readonly option: Option | undefined; readonly value: string | undefined } {
  const [, flag = word, value] = /^(--[^=]+)=(.*)$/s.exec(word) ?? [];
  return { option: optionsOf(command).find(({ long, short }) => long === flag || short === flag), value };
}

function subcommandOf(command: Command, word: string): Command | undefined {
  return commandsOf(command).find((each) => each.name() === word || each.aliases().includes(word));
}

/** Of the command itself and of those it belongs to. */
function optionsOf(command: Command): readonly Option[] {
  const help = command.createHelp();
  return [...help.visibleOptions(command), ...help.visibleGlobalOptions(command)];
}

function flagsOf({ long, description }: Option): readonly Candidate[] {
  return long === undefined || long === null ? [] : [{ text: long, about: description }];
}

/** With `help`, which commander makes only when it is asked for. */
function commandsOf(command: Command): readonly Command[] {
  return command.createHelp().visibleCommands(command);
}

function subcommandsOf(command: Command): readonly Candidate[] {
  return commandsOf(command).map((each) => ({ text: each.name(), about: each.description() }));
}

/** The last argument may be given again where it takes several. */
function argumentAt(command: Command, index: number): Argument | undefined {
  const known = command.registeredArguments;
  const last = known.at(-1);
  return known[index] ?? (last?.variadic === true ? last : undefined);
}

/** The word between the brackets of `--state <state>`; of an argument its name. */
function placeholderOf(value: Option | Argument): string {
  return 'flags' in value ? (/[<[]([\w-]+)/.exec(value.flags)?.[1] ?? '') : value.name();
}

const names: Readonly<Record<string, NameKind>> = {
  state: 'state',
  node: 'node',
  terminal: 'node',
  connector: 'connector',
  fault: 'fault',
  load: 'load',
  part: 'part',
};

/** Placeholders of options that stand for a file; an argument does unless it is known to be something else. */
const filePlaceholder = /^(?:file|folder|directory|path|circuit|readings|exercise|record)s?$/;

async function valueAfter(
  value: Option | Argument,
  files: readonly string[],
  typed: string,
  namesOf: NamesOf,
): Promise<Completion> {
  if (value.argChoices !== undefined)
    return matching(
      value.argChoices.map((text) => ({ text })),
      typed,
    );
  const placeholder = placeholderOf(value);
  const kind = Object.hasOwn(names, placeholder) ? names[placeholder] : undefined;
  if (kind !== undefined) return { kind: 'words', candidates: await namesOf(files, kind, typed) };
  return !('flags' in value) || filePlaceholder.test(placeholder) ? { kind: 'files' } : nothing;
}
