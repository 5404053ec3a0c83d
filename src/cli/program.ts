import { Command, InvalidArgumentError, Option } from 'commander';
import { clean, version } from '../report/report.js';
import { addDraw, addExpect, addFaults, addPins, addTrace, addValidate } from './circuit-program.js';
import { exampleText, furtherFormats, type Wiring } from './command.js';
import { addCompletion, addDiff, addFormat, addNew, addRules, addSchema } from './file-program.js';
import { addBatch, addCheck, addNext, addReport, addSheet } from './job-program.js';
import { addPractice } from './practice-program.js';

const examples = [
  'loadside check no-fan.readings.yaml',
  'loadside expect range-hood.circuit.yaml --state speed-1 --format json',
] as const;

/** In the order in which help tells of them. */
const commands: Readonly<Record<string, (program: Command, wiring: Wiring) => void>> = {
  validate: addValidate,
  expect: addExpect,
  trace: addTrace,
  pins: addPins,
  faults: addFaults,
  check: addCheck,
  next: addNext,
  batch: addBatch,
  diff: addDiff,
  rules: addRules,
  new: addNew,
  format: addFormat,
  schema: addSchema,
  completion: addCompletion,
  practice: addPractice,
  draw: addDraw,
  sheet: addSheet,
  report: addReport,
};

/**
 * The command tree: names, options and help. Nothing is computed here. Of a call that begins with a command's name
 * (`called`) that command alone is made: it needs no other.
 */
export function makeProgram(wiring: Wiring, called?: string): Command {
  const program = new Command('loadside');
  program
    .description(
      "Reads an appliance's wiring as text, computes what a meter should read, and says which part bounds the fault.\nNo network, no telemetry; files are read, and written only where --output or format --write says.",
    )
    .version(version, '-V, --version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .helpCommand('help [command]', 'print the help of a command')
    .addHelpText('before', exampleText(examples))
    .addHelpText(
      'after',
      '\nExit status: 0 all agrees or done, 1 a discrepancy or an invalid circuit was\nfound, 2 the call or an input is unusable, 3 it ran and can not say, 70 a defect\nin loadside.\nLocal codes, service literature and licensed practice override anything printed.\n',
    )
    .configureHelp({ showGlobalOptions: true })
    .configureOutput({
      writeOut: wiring.world.out,
      writeErr: wiring.world.err,
      // Asked for, commander looks at Node's streams, which take as long to make as the help.
      getOutHelpWidth: () => wiring.world.columns ?? 80,
      getErrHelpWidth: () => wiring.world.errColumns ?? 80,
      getOutHasColors: () => false,
      getErrHasColors: () => false,
      outputError: (message, write) => write(wordCallError(message, program)),
    })
    .exitOverride();
  addCommon(program);
  const own = called !== undefined && Object.hasOwn(commands, called) ? commands[called] : undefined;
  for (const add of own === undefined ? Object.values(commands) : [own]) add(program, wiring);
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
