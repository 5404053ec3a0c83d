/** What is asked of a circuit: names, options and help. */
import { type Command, InvalidArgumentError, Option } from 'commander';
import {
  act,
  type Everyday,
  everyday,
  exampleText,
  listOption,
  stateOption,
  type Wiring,
} from './command.js';
import type { ExpectOptions, ValidateOptions } from './commands/everyday.js';
import type { DrawOptions, FaultsOptions, TraceOptions } from './commands/further.js';
import type { OutputOptions } from './deliver.js';

const examples = {
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
} as const;

export function addValidate(program: Command, wiring: Wiring): void {
  const command = program
    .command('validate')
    .argument('<circuit...>', 'circuit files, folders of them, quoted globs, - for standard input')
    .addHelpText('before', exampleText(examples.validate))
    .description('Is each circuit well-formed and electrically sane, and do its own expectations hold?')
    .option('--max-warnings <count>', 'exit 1 when there are more warnings, over all files', wholeCount);
  act<ValidateOptions, Everyday>(
    thresholdOptions(command),
    everyday(wiring),
    ({ runValidate }, world, paths, options) => runValidate(world, paths.map(String), options),
    ['junit', 'sarif', 'github'],
  );
}

export function addExpect(program: Command, wiring: Wiring): void {
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
  act<ExpectOptions, Everyday>(command, everyday(wiring), ({ runExpect }, world, [path = ''], options) =>
    runExpect(world, path, options),
  );
}

export function addTrace(program: Command, wiring: Wiring): void {
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

export function addPins(program: Command, wiring: Wiring): void {
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

export function addFaults(program: Command, wiring: Wiring): void {
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

export function addDraw(program: Command, wiring: Wiring): void {
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

function percentage(text: string): number {
  if (!/^\d{1,3}(?:\.\d{1,6})?$/.test(text) || Number(text) > 100)
    throw new InvalidArgumentError('A number of percent from 0 to 100 is needed, such as 95 or 97.5.');
  return Number(text);
}

function wholeCount(text: string): number {
  if (!/^\d{1,9}$/.test(text)) throw new InvalidArgumentError('A whole number is needed, such as 0.');
  return Number(text);
}

function themeOption(): Option {
  return new Option('--theme <theme>', 'a picture for paper, or for a dark screen')
    .choices(['light', 'dark'])
    .default('light');
}
