/** What every command of the option table is made with. */
import { type Command, Option } from 'commander';
import { asciiOnly } from '../report/report.js';
import type { Format, OutputOptions } from './deliver.js';
import type { ExitStatus } from './exit-status.js';
import { needsAscii } from './terminal.js';
import type { World } from './world.js';

/** The commands called most, and the others: two bundles, of which a call loads one. */
export type Everyday = typeof import('./commands/everyday.js');
type Further = typeof import('./commands/further.js');

/** What is needed beside the option table: the outside, where the status goes, and the commands, loaded when one is run. */
export interface Wiring<Commands = Further> {
  readonly world: World;
  readonly finish: (status: ExitStatus) => void;
  readonly commands: () => Promise<Commands>;
  readonly everyday: () => Promise<Everyday>;
}

/** The same for a command that is called often. */
export function everyday(wiring: Wiring): Wiring<Everyday> {
  return { ...wiring, commands: wiring.everyday };
}

export function exampleText(lines: readonly string[]): string {
  return `Examples:\n${lines.map((line) => `  ${line}`).join('\n')}\n`;
}

export function repeated(text: string, before: readonly string[]): readonly string[] {
  return [...before, text];
}

export function listOption(flags: string, description: string): Option {
  return new Option(flags, description).argParser(repeated).default([], 'none');
}

export function stateOption(): Option {
  return new Option('-s, --state <state>', 'a named state or SWITCH=position; may be given again')
    .argParser(repeated)
    .default([], 'at rest');
}

type Run<Options extends OutputOptions, Commands> = (
  commands: Commands,
  world: World,
  args: readonly (string | undefined)[],
  options: Options,
) => Promise<ExitStatus>;

/** Forms that only some commands have. */
export const furtherFormats: readonly Format[] = [
  'csv',
  'junit',
  'sarif',
  'github',
  'markdown',
  'html',
  'yaml',
  'svg',
  'terminal',
];

/** A command that runs with its own and the common options, and with a standard error that suits the terminal. */
export function act<Options extends OutputOptions, Commands = Further>(
  command: Command,
  { world, finish, commands }: Wiring<Commands>,
  run: Run<Options, Commands>,
  further: readonly Format[] = [],
  usual: Format = 'table',
): void {
  command.action(async () => {
    const given = command.optsWithGlobals<Options & { readonly json?: boolean }>();
    const chosen = command.getOptionValueSourceWithGlobals('format') === 'default' ? usual : given.format;
    const format = given.json === true ? 'json' : chosen;
    const formats: readonly Format[] = ['table', 'json', ...further];
    if (!formats.includes(format))
      command.error(`error: ${command.name()} has no format ${format}, but ${formats.join(', ')}`);
    const options: Options = { ...given, format };
    const plain = options.ascii ?? needsAscii(world.env);
    const err = plain ? (text: string) => world.err(asciiOnly(text)) : world.err;
    finish(await run(await commands(), { ...world, err }, command.processedArgs.flat(), options));
  });
}
