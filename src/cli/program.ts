import { Argument, Command, InvalidArgumentError, Option } from 'commander';
import { clean, version } from '../report/report.js';
import { act, exampleText, furtherFormats, listOption, stateOption, type Wiring } from './command.js';
import type {
  BatchOptions,
  CheckOptions,
  DrawOptions,
  ExpectOptions,
  FaultsOptions,
  FormatOptions,
  NewOptions,
  NextOptions,
  ReportOptions,
  SheetOptions,
  TraceOptions,
  ValidateOptions,
} from './commands/commands.js';
import { type Shell, shells } from './completion/shells.js';
import type { OutputOptions } from './deliver.js';
import { addPractice } from './practice-program.js';
import { schemaNames } from './schema-names.js';
import { loadKinds, protectorKinds, supplyKinds, switchKinds } from './starter/kinds.js';

const examples = {
  program: [
    'loadside check no-fan.readings.yaml',
    'loadside expect range-hood.circuit.yaml --state speed-1 --format json',
  ],
  validate: [
    'loadside validate range-hood.circuit.yaml',
    'loadside validate . --format json --output report.json',
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
  batch: [
    'loadside batch visits --output answers.ndjson',
    'loadside batch - --circuit range-hood.circuit.yaml < jobs.ndjson > answers.ndjson',
  ],
  diff: [
    'loadside diff range-hood.circuit.yaml ../wall-oven/wall-oven.circuit.yaml',
    'loadside diff range-hood.circuit.yaml range-hood.circuit.yaml --format json',
  ],
  rules: ['loadside rules node-dangling', 'loadside rules --format json'],
  new: [
    "loadside new --title 'Towel rail' --supply 230V --load HEAT=heating-element:150W --switch on-off --switch thermostat",
    'loadside new --supply 120/240V --load BAKE=heating-element --load lamp --switch selector --output oven.circuit.yaml',
  ],
  format: ['loadside format range-hood.circuit.yaml --write', 'loadside format *.circuit.yaml --check'],
  schema: ['loadside schema circuit --output circuit.schema.json'],
  completion: ['source <(loadside completion bash)', 'loadside completion fish | source'],
} as const;

/** The command tree: names, options and help. Nothing is computed here. */
export function makeProgram(wiring: Wiring): Command {
  const program = new Command('loadside');
  program
    .description(
      "Reads an appliance's wiring as text, computes what a meter should read, and says which part bounds the fault.\nNo network, no telemetry; files are read, and written only where --output or format --write says.",
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
  addBatch(program, wiring);
  addDiff(program, wiring);
  addRules(program, wiring);
  addNew(program, wiring);
  addFormat(program, wiring);
  addSchema(program, wiring);
  addCompletion(program, wiring);
  addPractice(program, wiring);
  addDraw(program, wiring);
  addSheet(program, wiring);
  addReport(program, wiring);
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

/** Options of every command, before it or behind it. */
function addCommon(program: Command): void {
  program
    .addOption(
      new Option('-f, --format <format>', 'how the answer is written')
        .choices(['table', 'json', ...furtherFormats])
        .default('table'),
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

function wholeCount(text: string): number {
  if (!/^\d{1,9}$/.test(text)) throw new InvalidArgumentError('A whole number is needed, such as 0.');
  return Number(text);
}

function percentage(text: string): number {
  if (!/^\d{1,3}(?:\.\d{1,6})?$/.test(text) || Number(text) > 100)
    throw new InvalidArgumentError('A number of percent from 0 to 100 is needed, such as 95 or 97.5.');
  return Number(text);
}

function addValidate(program: Command, wiring: Wiring): void {
  const command = program
    .command('validate')
    .argument('<circuit...>', 'circuit files, folders of them, quoted globs, - for standard input')
    .addHelpText('before', exampleText(examples.validate))
    .description('Is each circuit well-formed and electrically sane, and do its own expectations hold?')
    .option('--max-warnings <count>', 'exit 1 when there are more warnings, over all files', wholeCount);
  act<ValidateOptions>(
    thresholdOptions(command),
    wiring,
    ({ runValidate }, world, paths, options) => runValidate(world, paths.map(String), options),
    ['junit', 'sarif', 'github'],
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
    .addOption(stateOption().default([], 'at rest, every named one, and one for each load'));
  act<FaultsOptions>(
    thresholdOptions(command).addOption(themeOption()),
    wiring,
    ({ runFaults }, world, [path = ''], options) => runFaults(world, path, options),
    ['svg'],
  );
}

function themeOption(): Option {
  return new Option('--theme <theme>', 'a picture for paper, or for a dark screen')
    .choices(['light', 'dark'])
    .default('light');
}

/** How much readings must be able to tell, for a library that is used to practise or to search. */
function thresholdOptions(command: Command): Command {
  return command
    .option('--min-detectable <percent>', 'exit 1 when fewer faults show', percentage)
    .option(
      '--min-isolable <percent>',
      'exit 1 when fewer can be told from those of every other part',
      percentage,
    );
}

function addCheck(program: Command, wiring: Wiring): void {
  const command = jobCommand(
    program,
    'check',
    'Compare recorded readings with the circuit: first discrepancy, what bounds it, which faults explain it all.',
  ).option('-v, --verbose', 'every suspect, and of each part cleared what shows it');
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
    ['markdown', 'html'],
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
    ['markdown', 'html'],
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
    ['markdown', 'html', 'yaml', 'csv'],
  );
}

function addBatch(program: Command, wiring: Wiring): void {
  const command = program
    .command('batch')
    .argument(
      '<readings...>',
      'readings files, folders, globs; - for jobs on standard input, one JSON object a line',
    )
    .addHelpText('before', exampleText(examples.batch))
    .description(
      'Check many readings files or jobs on all processors: one JSON answer a line, in their order.',
    )
    .option('-c, --circuit <file>', 'the circuit, in place of those the readings name')
    .option(
      '-j, --jobs <number>',
      'how many to work on at once (default: one for each processor)',
      workerCount,
    )
    .option('--shard <part>', 'one part of the jobs only: 2/8 is the second of eight', shardOf);
  act<BatchOptions>(command, wiring, ({ runBatch }, world, paths, options) =>
    runBatch(world, paths.map(String), options),
  );
}

function workerCount(text: string): number {
  if (!/^[1-9]\d{0,2}$/.test(text)) throw new InvalidArgumentError('A whole number from 1 to 999 is needed.');
  return Number(text);
}

function shardOf(text: string): { index: number; of: number } {
  const [, index = 0, of = 0] = (/^(\d{1,6})\/(\d{1,6})$/.exec(text) ?? []).map(Number);
  if (index < 1 || index > of)
    throw new InvalidArgumentError('A part and their number are needed, such as 2/8, the second of eight.');
  return { index, of };
}

function addDiff(program: Command, wiring: Wiring): void {
  const command = program
    .command('diff')
    .argument('<old>', 'circuit file, - for standard input')
    .argument('<new>', 'circuit file, - for standard input')
    .addHelpText('before', exampleText(examples.diff))
    .description(
      'What changes electrically from one circuit to another: parts, and what is read in which state?',
    );
  act<OutputOptions>(
    command,
    wiring,
    ({ runDiff }, world, [before = '', after = ''], options) => runDiff(world, before, after, options),
    ['markdown'],
  );
}

function addRules(program: Command, wiring: Wiring): void {
  const command = program
    .command('rules')
    .argument('[code]', 'one rule, with examples')
    .addHelpText('before', exampleText(examples.rules))
    .description('What is every file held to, and which findings can a remark in a circuit let pass?');
  act<OutputOptions>(command, wiring, ({ runRules }, world, [code], options) =>
    runRules(world, code, options),
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

function addNew(program: Command, wiring: Wiring): void {
  const kinds = (table: object) => Object.keys(table).join(', ');
  const several = (flags: string, description: string) =>
    new Option(flags, description).argParser((text: string, before: readonly string[] = []) => [
      ...before,
      text,
    ]);
  const command = program
    .command('new')
    .addHelpText('before', exampleText(examples.new))
    .description(
      'A commented circuit file to start from. At a terminal it asks for what is not given. A file that is there is not written over.',
    )
    .option('--title <text>', 'what the appliance is')
    .addOption(
      new Option('--supply <supply>', 'where the power comes from').choices(Object.keys(supplyKinds)),
    )
    .addOption(several('--load <kind>', `[NAME=]KIND[:POWER], may be given again: ${kinds(loadKinds)}`))
    .addOption(
      several('--protector <kind>', `[NAME=]KIND, may be given again: ${kinds(protectorKinds)}; or none`),
    )
    .addOption(
      several(
        '--switch <kind>',
        `[NAME=]KIND, from the supply on, may be given again: ${kinds(switchKinds)}; or none`,
      ),
    )
    .option('--no-input', 'ask nothing: what is usual stands where nothing was said');
  act<NewOptions>(command, wiring, ({ runNew }, world, _args, options) => runNew(world, options));
}

function addFormat(program: Command, wiring: Wiring): void {
  const command = program
    .command('format')
    .argument('<circuit...>', 'circuit files, - for standard input')
    .addHelpText('before', exampleText(examples.format))
    .description(
      'A circuit file in the one layout: indents, blanks and empty lines. Comments, order, line breaks and values stay.',
    )
    .addOption(new Option('--write', 'rewrite the files, each whole or not at all').conflicts('check'))
    .option('--check', 'exit 1 and name the files that are laid out otherwise');
  act<FormatOptions>(command, wiring, ({ runFormat }, world, paths, options) =>
    runFormat(world, paths.map(String), options),
  );
}

function addSchema(program: Command, wiring: Wiring): void {
  const command = program
    .command('schema')
    .addArgument(new Argument('<kind>', 'the kind of file').choices(schemaNames))
    .addHelpText('before', exampleText(examples.schema))
    .description('The JSON Schema of a kind of file, for editors and other programs.');
  act<OutputOptions>(command, wiring, ({ runSchema }, world, [name = ''], options) =>
    runSchema(world, name, options),
  );
}

function addCompletion(program: Command, wiring: Wiring): void {
  const command = program
    .command('completion')
    .addArgument(new Argument('<shell>', 'the shell that completes').choices(shells))
    .addHelpText('before', exampleText(examples.completion))
    .description(
      'A script with which a shell completes commands, options, and the parts, nodes, positions and states of the circuit named.',
    );
  act<OutputOptions>(command, wiring, ({ runCompletion }, world, [shell], options) =>
    runCompletion(world, shell as Shell, options),
  );
}

function addDraw(program: Command, wiring: Wiring): void {
  const command = program
    .command('draw')
    .argument('<circuit>', 'circuit file, - for standard input')
    .addHelpText('before', exampleText(examples.draw))
    .description(
      'A ladder drawing: as SVG, as pages to print (--format html), or in characters (--format terminal); in a state with what should be read.',
    )
    .addOption(stateOption().default([], 'the wiring alone'))
    .addOption(listOption('--fault <fault>', 'plant PART[.CONTACT]:MODE[=VALUE]; may be given again'))
    .option('-r, --readings <file>', 'readings to place on it, with what bounds the fault and the next leads')
    .addOption(themeOption());
  act<DrawOptions>(
    command,
    wiring,
    ({ runDraw }, world, [path = ''], options) => runDraw(world, path, options),
    ['svg', 'html', 'terminal'],
    'svg',
  );
}
