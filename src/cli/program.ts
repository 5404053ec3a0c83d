import { Command, InvalidArgumentError, Option } from 'commander';
import { asciiOnly, clean } from '../report/report.js';
import type {
  CheckOptions,
  DrawOptions,
  ExpectOptions,
  FaultsOptions,
  NextOptions,
  ReportOptions,
  SheetOptions,
  TraceOptions,
} from './commands/commands.js';
import { type Format, formats, type OutputOptions } from './deliver.js';
import type { ExitStatus } from './exit-status.js';
import { needsAscii } from './terminal.js';
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
  faults: [
    'loadside faults range-hood.circuit.yaml',
    'loadside faults range-hood.circuit.yaml --format svg --output heat-map.svg',
    'loadside faults range-hood.circuit.yaml --min-detectable 95 --min-isolable 80 --format json',
  ],
  draw: [
    'loadside draw range-hood.circuit.yaml --state speed-1 --output speed-1.svg',
    'loadside draw range-hood.circuit.yaml --readings no-fan.readings.yaml --output no-fan.svg',
    'loadside draw range-hood.circuit.yaml --format terminal',
  ],
  check: [
    'loadside check no-fan.readings.yaml',
    'loadside check lamp-out.readings.csv --circuit range-hood.circuit.yaml --format json',
  ],
  report: [
    'loadside report no-fan.readings.yaml --format html --output record.html',
    'loadside report no-fan.readings.yaml --after all-good.readings.yaml --format markdown',
  ],
  sheet: [
    'loadside sheet range-hood.circuit.yaml --load FAN --format html --output fan.html',
    'loadside sheet range-hood.circuit.yaml --load FAN --format yaml --output fan.readings.yaml',
    'loadside sheet range-hood.circuit.yaml --part CTL --format markdown',
  ],
  next: [
    'loadside next no-fan.readings.yaml',
    'loadside next button-open.readings.yaml --skip B2.1 --skip B2.2 --format json',
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
    .configureHelp({ showGlobalOptions: true })
    .configureOutput({
      writeOut: wiring.world.out,
      writeErr: wiring.world.err,
      outputError: (message, write) => write(wordCallError(message, program)),
    })
    .exitOverride();
  addCommon(program);
  addValidate(program, wiring);
  addExpect(program, wiring);
  addTrace(program, wiring);
  addPins(program, wiring);
  addFaults(program, wiring);
  addCheck(program, wiring);
  addNext(program, wiring);
  addSheet(program, wiring);
  addReport(program, wiring);
  addDraw(program, wiring);
  return program;
}

/** A flag written with a value is no unknown flag: say what is wrong with it. */
function wordCallError(message: string, program: Command): string {
  const flag = /unknown option '(--[\w-]+)=/.exec(message)?.[1];
  const known = program.options.some(
    ({ long, required, optional }) => long === flag && !required && !optional,
  );
  const worded = known ? `the flag ${flag} takes no value` : message.replace(/^error: /, '');
  return `loadside: ${clean(worded.trimEnd()).replaceAll(' (Did you mean', '\n(Did you mean')}\nloadside --help lists commands and options.\n`;
}

function exampleText(lines: readonly string[]): string {
  return `Examples:\n${lines.map((line) => `  ${line}`).join('\n')}\n`;
}

/** Options of every command, before it or behind it. */
function addCommon(program: Command): void {
  program
    .addOption(
      new Option('-f, --format <format>', 'how the answer is written').choices(formats).default('table'),
    )
    .option('--json', 'the same as --format json')
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

function percentage(text: string): number {
  if (!/^\d{1,3}(?:\.\d{1,6})?$/.test(text) || Number(text) > 100)
    throw new InvalidArgumentError('A number of percent from 0 to 100 is needed, such as 95 or 97.5.');
  return Number(text);
}

function repeated(text: string, before: readonly string[]): readonly string[] {
  return [...before, text];
}

function listOption(flags: string, description: string): Option {
  return new Option(flags, description).argParser(repeated).default([], 'none');
}

function stateOption(): Option {
  return new Option('-s, --state <state>', 'a named state or SWITCH=position; may be given again')
    .argParser(repeated)
    .default([], 'at rest');
}

function themeOption(): Option {
  return new Option('--theme <theme>', 'a picture for paper, or for a dark screen')
    .choices(['light', 'dark'])
    .default('light');
}

type Run<Options extends OutputOptions> = (
  commands: Commands,
  world: World,
  args: readonly (string | undefined)[],
  options: Options,
) => Promise<ExitStatus>;

/**
 * A command that runs with its own and the common options, and with a standard error that suits the terminal. `forms` are
 * those its answer is written in, the first of them unless another is asked for.
 */
function act<Options extends OutputOptions>(
  command: Command,
  { world, finish, commands }: Wiring,
  run: Run<Options>,
  forms: readonly Format[] = ['table', 'json'],
): void {
  command.action(async () => {
    const given = command.optsWithGlobals<Options & { readonly json?: boolean }>();
    const [usual = given.format] = forms;
    const chosen = command.getOptionValueSourceWithGlobals('format') === 'default' ? usual : given.format;
    const format = given.json === true ? 'json' : chosen;
    if (!forms.includes(format))
      command.error(`error: ${command.name()} is written as ${forms.join(' or ')}, not as ${format}`);
    const options: Options = { ...given, format };
    const plain = options.ascii ?? needsAscii(world.env);
    const err = plain ? (text: string) => world.err(asciiOnly(text)) : world.err;
    finish(await run(await commands(), { ...world, err }, command.processedArgs.flat(), options));
  });
}

function addValidate(program: Command, wiring: Wiring): void {
  const command = program
    .command('validate')
    .argument('<circuit...>', 'circuit files, - for standard input')
    .addHelpText('before', exampleText(examples.validate))
    .description('Is each circuit well-formed and electrically sane, and do its own expectations hold?');
  act<OutputOptions>(command, wiring, ({ runValidate }, world, paths, options) =>
    runValidate(world, paths.map(String), options),
  );
}

function addExpect(program: Command, wiring: Wiring): void {
  const command = program
    .command('expect')
    .argument('<circuit>', 'circuit file, - for standard input')
    .addHelpText('before', exampleText(examples.expect))
    .description('What does every test point read in a state, and which loads do their job?')
    .addOption(stateOption())
    .addOption(listOption('--fault <fault>', 'plant PART[.CONTACT]:MODE[=VALUE]; may be given again'))
    .option('--all-states', 'every combination of positions in place of one state')
    .addOption(listOption('--disconnect <terminal>', 'lift the wires off a terminal; may be given again'))
    .addOption(listOption('--unplug <connector>', 'pull a connector apart; may be given again'))
    .option('--black <node>', "where the black lead is (default: the supply's neutral)")
    .addOption(
      new Option('--input <impedance>', "the meter's input").choices(['high', 'low']).default('high'),
    );
  act<ExpectOptions>(command, wiring, ({ runExpect }, world, [path = ''], options) =>
    runExpect(world, path, options),
  );
}

function addTrace(program: Command, wiring: Wiring): void {
  const command = program
    .command('trace')
    .argument('<circuit>', 'circuit file, - for standard input')
    .argument('<load>', 'the load of interest: PART, or MODULE.OUTPUT')
    .addHelpText('before', exampleText(examples.trace))
    .description(
      "The load of interest's supply path, line side and neutral side, and the switch state it needs.",
    )
    .addOption(stateOption());
  act<TraceOptions>(command, wiring, ({ runTrace }, world, [path = '', load = ''], options) =>
    runTrace(world, path, load, options),
  );
}

function addPins(program: Command, wiring: Wiring): void {
  const command = program
    .command('pins')
    .argument('<circuit>', 'circuit file, - for standard input')
    .argument('[part]', 'one module only')
    .addHelpText('before', exampleText(examples.pins))
    .description('Which pin belongs to which switch position: by the wiring, held against the pin map.');
  act<OutputOptions>(command, wiring, ({ runPins }, world, [path = '', part], options) =>
    runPins(world, path, part, options),
  );
}

function addFaults(program: Command, wiring: Wiring): void {
  const command = program
    .command('faults')
    .argument('<circuit>', 'circuit file, - for standard input')
    .addHelpText('before', exampleText(examples.faults))
    .description(
      'Every single fault: what it does to loads and readings, and which of them no test point can tell apart.',
    )
    .addOption(stateOption().default([], 'at rest, every named one, and one for each load'))
    .option('--min-detectable <percent>', 'exit 1 when fewer faults show', percentage)
    .option(
      '--min-isolable <percent>',
      'exit 1 when fewer can be told from those of every other part',
      percentage,
    )
    .addOption(themeOption());
  act<FaultsOptions>(
    command,
    wiring,
    ({ runFaults }, world, [path = ''], options) => runFaults(world, path, options),
    ['table', 'json', 'svg'],
  );
}

function addCheck(program: Command, wiring: Wiring): void {
  const command = jobCommand(
    program,
    'check',
    'Compare recorded readings with the circuit: first discrepancy, what bounds it, which faults explain it all.',
  );
  act<CheckOptions>(command, wiring, ({ runCheck }, world, [path = ''], options) =>
    runCheck(world, path, options),
  );
}

function addNext(program: Command, wiring: Wiring): void {
  const command = jobCommand(
    program,
    'next',
    'Where to put the leads now, and what each suspect would show there?',
  ).addOption(listOption('--skip <node>', 'a place that cannot be reached; may be given again'));
  act<NextOptions>(
    command,
    wiring,
    ({ runNext }, world, [path = ''], options) => runNext(world, path, options),
    ['table', 'json', 'markdown', 'html'],
  );
}

function addReport(program: Command, wiring: Wiring): void {
  const command = jobCommand(
    program,
    'report',
    'The record of a job: what was complained of, every reading, what follows and why, the repair and the readings after it.',
  )
    .option('--after <file>', 'the readings taken after the repair')
    .addHelpText('after', '\n--format html or markdown is for printing and for keeping.\n');
  act<ReportOptions>(
    command,
    wiring,
    ({ runReport }, world, [path = ''], options) => runReport(world, path, options),
    ['table', 'json', 'markdown', 'html'],
  );
}

function addSheet(program: Command, wiring: Wiring): void {
  const command = program
    .command('sheet')
    .argument('<circuit>', 'circuit file, - for standard input')
    .addHelpText('before', exampleText(examples.sheet))
    .description(
      'Paper for the bench: a worksheet for a load of interest and the blank readings file that goes with it, the reconnect list of a part, the pin table.',
    )
    .addOption(
      listOption('--load <load>', 'a load that does not do its job; may be given again').default(
        [],
        'all of them',
      ),
    )
    .addOption(stateOption().default([], 'the one each load needs'))
    .addOption(
      listOption('--part <part>', 'a part about to be replaced: its reconnect list; may be given again'),
    )
    .option('--pins', 'the pin table')
    .addHelpText(
      'after',
      '\n--format html or markdown is for printing, yaml or csv a readings file to fill in.\n',
    );
  act<SheetOptions>(
    command,
    wiring,
    ({ runSheet }, world, [path = ''], options) => runSheet(world, path, options),
    ['table', 'json', 'markdown', 'html', 'yaml', 'csv'],
  );
}

/** A command on a readings file, which mostly names its circuit. */
function jobCommand(program: Command, name: 'check' | 'next' | 'report', description: string): Command {
  return program
    .command(name)
    .argument('<readings>', 'readings file, YAML or CSV, - for standard input')
    .addHelpText('before', exampleText(examples[name]))
    .description(description)
    .option('-c, --circuit <file>', 'the circuit, in place of the one the readings name');
}

function addDraw(program: Command, wiring: Wiring): void {
  const command = program
    .command('draw')
    .argument('<circuit>', 'circuit file, - for standard input')
    .addHelpText('before', exampleText(examples.draw))
    .description(
      'A ladder drawing: as SVG for paper, or in characters (--format terminal); in a state with what should be read.',
    )
    .addOption(stateOption().default([], 'the wiring alone'))
    .addOption(listOption('--fault <fault>', 'plant PART[.CONTACT]:MODE[=VALUE]; may be given again'))
    .option('-r, --readings <file>', 'readings to place on it, with what bounds the fault and the next leads')
    .addOption(themeOption());
  act<DrawOptions>(
    command,
    wiring,
    ({ runDraw }, world, [path = ''], options) => runDraw(world, path, options),
    ['svg', 'terminal', 'table', 'json'],
  );
}
