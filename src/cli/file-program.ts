/** What files are held to, and made from: names, options and help. */
import { Argument, type Command, Option } from 'commander';
import { act, exampleText, type Wiring } from './command.js';
import type { FormatOptions, NewOptions } from './commands/further.js';
import { type Shell, shells } from './completion/shells.js';
import type { OutputOptions } from './deliver.js';
import { schemaNames } from './schema-names.js';
import { loadKinds, protectorKinds, supplyKinds, switchKinds } from './starter/kinds.js';

const examples = {
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

export function addDiff(program: Command, wiring: Wiring): void {
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

export function addRules(program: Command, wiring: Wiring): void {
  const command = program
    .command('rules')
    .argument('[code]', 'one rule, with examples')
    .addHelpText('before', exampleText(examples.rules))
    .description('What is every file held to, and which findings can a remark in a circuit let pass?');
  act<OutputOptions>(command, wiring, ({ runRules }, world, [code], options) =>
    runRules(world, code, options),
  );
}

export function addNew(program: Command, wiring: Wiring): void {
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

export function addFormat(program: Command, wiring: Wiring): void {
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

export function addSchema(program: Command, wiring: Wiring): void {
  const command = program
    .command('schema')
    .addArgument(new Argument('<kind>', 'the kind of file').choices(schemaNames))
    .addHelpText('before', exampleText(examples.schema))
    .description('The JSON Schema of a kind of file, for editors and other programs.');
  act<OutputOptions>(command, wiring, ({ runSchema }, world, [name = ''], options) =>
    runSchema(world, name, options),
  );
}

export function addCompletion(program: Command, wiring: Wiring): void {
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
