/** What is asked of readings, and the paper they come from: names, options and help. */
import { type Command, InvalidArgumentError } from 'commander';
import {
  act,
  type Everyday,
  everyday,
  exampleText,
  listOption,
  stateOption,
  type Wiring,
} from './command.js';
import type { BatchOptions, CheckOptions, NextOptions } from './commands/everyday.js';
import type { ReportOptions, SheetOptions } from './commands/further.js';

const examples = {
  check: [
    'loadside check no-fan.readings.yaml',
    'loadside check lamp-out.readings.csv --circuit range-hood.circuit.yaml --format json',
  ],
  next: [
    'loadside next no-fan.readings.yaml',
    'loadside next button-open.readings.yaml --skip B2.1 --skip B2.2 --format json',
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
  batch: [
    'loadside batch visits --output answers.ndjson',
    'loadside batch - --circuit range-hood.circuit.yaml < jobs.ndjson > answers.ndjson',
  ],
} as const;

export function addCheck(program: Command, wiring: Wiring): void {
  const command = jobCommand(
    program,
    'check',
    'Compare recorded readings with the circuit: first discrepancy, what bounds it, which faults explain it all.',
  ).option('-v, --verbose', 'every suspect, and of each part cleared what shows it');
  act<CheckOptions, Everyday>(command, everyday(wiring), ({ runCheck }, world, [path = ''], options) =>
    runCheck(world, path, options),
  );
}

export function addNext(program: Command, wiring: Wiring): void {
  const command = jobCommand(
    program,
    'next',
    'Where to put the leads now, and what each suspect would show there?',
  ).addOption(listOption('--skip <node>', 'a place that cannot be reached; may be given again'));
  act<NextOptions, Everyday>(
    command,
    everyday(wiring),
    ({ runNext }, world, [path = ''], options) => runNext(world, path, options),
    ['markdown', 'html'],
  );
}

export function addReport(program: Command, wiring: Wiring): void {
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

export function addSheet(program: Command, wiring: Wiring): void {
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

export function addBatch(program: Command, wiring: Wiring): void {
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
  act<BatchOptions, Everyday>(command, everyday(wiring), ({ runBatch }, world, paths, options) =>
    runBatch(world, paths.map(String), options),
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
