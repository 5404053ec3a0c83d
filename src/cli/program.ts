import { Command, InvalidArgumentError, Option } from 'commander';
import { clean } from '../report/report.js';
import type { ExitStatus } from './exit-status.js';
import { version } from './version.js';
import type { World } from './world.js';

type Commands = typeof import('./commands/commands.js');

/** What is needed beside the option table: the outside, where the status goes, and the commands, loaded when one is run. */
export interface Wiring {
  readonly world: World;
  readonly finish: (status: ExitStatus) => void;
  readonly commands: () => Promise<Commands>;
}

const examples = {
  program: [
    'loadside check no-fan.readings.yaml',
    'loadside expect range-hood.circuit.yaml --state speed-1 --format json',
  ],
  validate: [
    'loadside validate range-hood.circuit.yaml',
    'loadside validate *.circuit.yaml --format json --output report.json',
  ],
  expect: [
    'loadside expect range-hood.circuit.yaml --state speed-1',
    'loadside expect range-hood.circuit.yaml --state B1=in --fault B1:stuck-open --input low --format json',
  ],
  trace: [
    'loadside trace range-hood.circuit.yaml FAN',
    'loadside trace range-hood.circuit.yaml CTL.speed-2 --format json',
  ],
  pins: ['loadside pins range-hood.circuit.yaml', 'loadside pins range-hood.circuit.yaml CTL --format json'],
  check: [
    'loadside check no-fan.readings.yaml',
    'loadside check lamp-out.readings.csv --circuit range-hood.circuit.yaml --format json',
  ],
} as const;

/** The command tree: names, options and help. Nothing is computed here. */
export function makeProgram(wiring: Wiring): Command {
  const program = new Command('loadside');
  program
    .description(
      "Reads an appliance's wiring as text, computes what a meter should read, and says which part bounds the fault.\nNo network, no telemetry; files are read, and written only where --output says.",
    )
    .version(version, '-V, --version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .helpCommand('help [command]', 'print the help of a command')
    .addHelpText('before', exampleText(examples.program))
    .addHelpText(
      'after',
      '\nExit status: 0 all agrees or done, 1 a discrepancy or an invalid circuit was\nfound, 2 the call or an input is unusable, 3 it ran and can not say, 70 a defect\nin loadside.\nLocal codes, service literature and licensed practice override anything printed.\n',
    )
    .configureOutput({
      writeOut: wiring.world.out,
      writeErr: wiring.world.err,
      outputError: (message, write) => write(wordCallError(message)),
    })
    .exitOverride();
  addValidate(program, wiring);
  addExpect(program, wiring);
  addTrace(program, wiring);
  addPins(program, wiring);
  addCheck(program, wiring);
  return program;
}

/** A flag written with a value is no unknown flag: say what is wrong with it. */
function wordCallError(message: string): string {
  const flag = /unknown option '(--[\w-]+)=/.exec(message)?.[1];
  const meant = /Did you mean (--[\w-]+)\?/.exec(message)?.[1];
  const worded =
    flag !== undefined && flag === meant
      ? `the flag ${flag} takes no value`
      : message.replace(/^error: /, '');
  return `loadside: ${clean(worded.trimEnd()).replaceAll(' (Did you mean', '\n(Did you mean')}\nloadside --help lists commands and options.\n`;
}

function exampleText(lines: readonly string[]): string {
  return `Examples:\n${lines.map((line) => `  ${line}`).join('\n')}\n`;
}

function addCommon(command: Command, lines: readonly string[]): Command {
  return command
    .addHelpText('before', exampleText(lines))
    .addOption(
      new Option('-f, --format <format>', 'how the answer is written')
        .choices(['table', 'json'])
        .default('table'),
    )
    .option('-o, --output <file>', 'write the answer to a file, whole or not at all')
    .option('-q, --quiet', 'no hints and warnings on standard error')
    .option('--color', 'colour even where there is no terminal')
    .option('--no-color', 'no colour')
    .option('--ascii', 'plain ASCII, for old terminals')
    .option('--width <columns>', 'fold lines at this width', wholeNumber);
}

function wholeNumber(text: string): number {
  if (!/^\d{2,4}$/.test(text) || Number(text) < 40)
    throw new InvalidArgumentError('A whole number of columns from 40 to 9999 is needed.');
  return Number(text);
}

function listed(text: string, before: readonly string[]): readonly string[] {
  return [...before, text];
}

function stateOption(): Option {
  return new Option('-s, --state <state>', 'a named state or SWITCH=position; may be given again')
    .argParser(listed)
    .default([], 'at rest');
}

function addValidate(program: Command, { world, finish, commands }: Wiring): void {
  addCommon(
    program.command('validate').argument('<circuit...>', 'circuit files, - for standard input'),
    examples.validate,
  )
    .description('Is each circuit well-formed and electrically sane, and do its own expectations hold?')
    .action(async (paths: string[], options) =>
      finish(await (await commands()).runValidate(world, paths, options)),
    );
}

function addExpect(program: Command, { world, finish, commands }: Wiring): void {
  addCommon(
    program.command('expect').argument('<circuit>', 'circuit file, - for standard input'),
    examples.expect,
  )
    .description('What does every test point read in a state, and which loads do their job?')
    .addOption(stateOption())
    .addOption(
      new Option('--fault <fault>', 'plant PART:MODE or PART.CONTACT:MODE; may be given again')
        .argParser(listed)
        .default([], 'none'),
    )
    .option('--black <node>', "where the black lead is (default: the supply's neutral)")
    .addOption(
      new Option('--input <impedance>', "the meter's input").choices(['high', 'low']).default('high'),
    )
    .action(async (path: string, options) =>
      finish(await (await commands()).runExpect(world, path, options)),
    );
}

function addTrace(program: Command, { world, finish, commands }: Wiring): void {
  addCommon(
    program
      .command('trace')
      .argument('<circuit>', 'circuit file, - for standard input')
      .argument('<load>', 'the load of interest: PART, or MODULE.OUTPUT'),
    examples.trace,
  )
    .description(
      "The load of interest's supply path, line side and neutral side, and the switch state it needs.",
    )
    .addOption(stateOption())
    .action(async (path: string, load: string, options) =>
      finish(await (await commands()).runTrace(world, path, load, options)),
    );
}

function addPins(program: Command, { world, finish, commands }: Wiring): void {
  addCommon(
    program
      .command('pins')
      .argument('<circuit>', 'circuit file, - for standard input')
      .argument('[part]', 'one module only'),
    examples.pins,
  )
    .description('Which pin belongs to which switch position: by the wiring, held against the pin map.')
    .action(async (path: string, part: string | undefined, options) =>
      finish(await (await commands()).runPins(world, path, part, options)),
    );
}

function addCheck(program: Command, { world, finish, commands }: Wiring): void {
  addCommon(
    program.command('check').argument('<readings>', 'readings file, YAML or CSV, - for standard input'),
    examples.check,
  )
    .description(
      'Compare recorded readings with the circuit: first discrepancy, what bounds it, which faults explain it all.',
    )
    .option('-c, --circuit <file>', 'the circuit, in place of the one the readings name')
    .action(async (path: string, options) => finish(await (await commands()).runCheck(world, path, options)));
}
