/** The option table of practice: names, options and help. */
import { type Command, InvalidArgumentError, Option } from 'commander';
import { act, exampleText, listOption, stateOption, type Wiring } from './command.js';
import type {
  AnswerOptions,
  ExerciseOptions,
  GradeOptions,
  MeasureOptions,
  PracticeNewOptions,
  TryOptions,
} from './commands/further.js';

const examples = {
  practice: [
    'loadside practice new range-hood.circuit.yaml --seed 7 --output hood.exercise.yaml',
    'loadside practice grade class --format csv --output marks.csv',
  ],
  new: [
    'loadside practice new range-hood.circuit.yaml --seed 7 --difficulty easy',
    'loadside practice new range-hood.circuit.yaml --fault B2:stuck-open --output hood.exercise.yaml --format json',
  ],
  measure: [
    'loadside practice measure hood.exercise.yaml --state speed-1 --red CTL.1 --black CTL.N --record kim.record.yaml',
    'loadside practice measure hood.exercise.yaml --state power=off --red F1.1 --black F1.2 --function ohm --format json',
  ],
  try: [
    'loadside practice try hood.exercise.yaml --record kim.record.yaml',
    "loadside practice try hood.exercise.yaml --do 'state speed-1' --do 'red CTL.1' --do 'black CTL.N' --do read --format json",
  ],
  swap: [
    'loadside practice swap hood.exercise.yaml B2 --record kim.record.yaml',
    'loadside practice swap hood.exercise.yaml B2 --format json',
  ],
  answer: [
    'loadside practice answer hood.exercise.yaml B2:stuck-open --record kim.record.yaml',
    'loadside practice answer hood.exercise.yaml B2 --format json',
  ],
  grade: [
    'loadside practice grade hood.exercise.yaml --record kim.record.yaml',
    'loadside practice grade class --format csv --output marks.csv',
  ],
} as const;

export function addPractice(program: Command, wiring: Wiring): void {
  const practice = program
    .command('practice')
    .description('Exercises: plant a fault, look for it on a bench, grade how it was found.')
    .addHelpText('before', exampleText(examples.practice))
    .configureHelp({ showGlobalOptions: true, subcommandTerm: (command) => command.name() });
  addNew(practice, wiring);
  addMeasure(practice, wiring);
  addTry(practice, wiring);
  addSwap(practice, wiring);
  addAnswer(practice, wiring);
  addGrade(practice, wiring);
}

function wholeSeed(text: string): number {
  if (!/^\d{1,9}$/.test(text))
    throw new InvalidArgumentError('A whole number from 0 to 999999999 is needed.');
  return Number(text);
}

/** Those of the practice floor, which is loaded only when it is run; a test holds the two together. */
const classes = ['open', 'closed', 'dead', 'connection', 'value', 'leak', 'wiring'];

function oneOfClasses(text: string, before: readonly string[]): readonly string[] {
  if (!classes.includes(text)) throw new InvalidArgumentError(`Allowed choices are ${classes.join(', ')}.`);
  return [...before, text];
}

/** `1..20` and `3,8,11`. */
function seedList(text: string): readonly number[] {
  const seeds = text.split(',').flatMap((piece) => {
    const [, first, last] = /^\s*(\d{1,9})(?:\.\.(\d{1,9}))?\s*$/.exec(piece) ?? [];
    if (first === undefined)
      throw new InvalidArgumentError('Whole numbers are needed, as in 1..20 or 3,8,11.');
    const [from, to] = [Number(first), Number(last ?? first)];
    if (to < from || to - from >= mostSeeds) throw new InvalidArgumentError(seedsWanted);
    return Array.from({ length: to - from + 1 }, (_, index) => from + index);
  });
  if (seeds.length > mostSeeds) throw new InvalidArgumentError(seedsWanted);
  return [...new Set(seeds)];
}

/** Exercises of one call; each takes seconds. */
const mostSeeds = 500;
const seedsWanted = `A range runs upwards, and ${mostSeeds} exercises are the most of one call.`;

function passphrase(): Option {
  return new Option(
    '--passphrase <text>',
    "the trainer's: the answer opens with it only (or LOADSIDE_PASSPHRASE)",
  );
}

function recordOption(): Option {
  return new Option('-r, --record <file>', 'keep what is done, a line an act');
}

function addNew(practice: Command, wiring: Wiring): void {
  const command = practice
    .command('new')
    .argument('<circuit>', 'circuit file, - for standard input')
    .addHelpText('before', exampleText(examples.new))
    .description('Write an exercise: an appliance with a fault, the complaint, and the answer under seal.')
    .option('--fault <fault>', 'plant PART[.CONTACT]:MODE[=VALUE], in place of one that is drawn')
    .option('--seed <number>', 'of what is drawn, and of the noise', wholeSeed, 1)
    .option('--seeds <list>', 'an exercise for each, 1..20 or 3,8,11, into the folder of --output', seedList)
    .addOption(
      new Option('--difficulty <level>', 'draw one that is so hard').choices(['easy', 'medium', 'hard']),
    )
    .addOption(
      new Option('--class <class>', `draw from these faults; may be given again (${classes.join(', ')})`)
        .argParser(oneOfClasses)
        .default([], 'any'),
    )
    .addOption(passphrase())
    .option('--key <file>', 'write which fault is in which exercise, as CSV, for the trainer');
  act<PracticeNewOptions>(command, wiring, ({ runPracticeNew }, world, [path = ''], options) =>
    runPracticeNew(world, path, options),
  );
}

function addMeasure(practice: Command, wiring: Wiring): void {
  const command = practice
    .command('measure')
    .argument('<exercise>', 'exercise file')
    .addHelpText('before', exampleText(examples.measure))
    .description('What the meter shows there, on the appliance of an exercise.')
    .addOption(stateOption())
    .option('--red <node>', 'where the red lead goes')
    .option('--black <node>', 'where the black lead goes')
    .option('--on <wire>', 'the conductor the clamp goes around, in place of leads')
    .addOption(
      new Option('--function <function>', 'what the meter is set to (default: V; A with --on)').choices([
        'V',
        'V ac',
        'V dc',
        'ohm',
        'A',
      ]),
    )
    .addOption(
      new Option('--input <impedance>', "the meter's input").choices(['high', 'low']).default('high'),
    )
    .addOption(listOption('--disconnect <terminal>', 'its wires lifted; may be given again'))
    .addOption(listOption('--unplug <connector>', 'pulled apart; may be given again'))
    .addOption(recordOption());
  act<MeasureOptions>(command, wiring, ({ runPracticeMeasure }, world, [path = ''], options) =>
    runPracticeMeasure(world, path, options),
  );
}

function addTry(practice: Command, wiring: Wiring): void {
  const command = practice
    .command('try')
    .argument('<exercise>', 'exercise file')
    .addHelpText('before', exampleText(examples.try))
    .description('A bench at the terminal: set switches, move leads, read, exchange parts, answer.')
    .addOption(listOption('--do <line>', 'a line of the bench in place of typing it; may be given again'))
    .addOption(recordOption());
  act<TryOptions>(command, wiring, ({ runPracticeTry }, world, [path = ''], options) =>
    runPracticeTry(world, path, options),
  );
}

function addSwap(practice: Command, wiring: Wiring): void {
  const command = practice
    .command('swap')
    .argument('<exercise>', 'exercise file')
    .argument('<part>', 'the part, by its name or what it is called')
    .addHelpText('before', exampleText(examples.swap))
    .description('Exchange a part for a sound one, and see whether the complaint is gone.')
    .addOption(recordOption());
  act<ExerciseOptions>(command, wiring, ({ runPracticeSwap }, world, [path = '', part = ''], options) =>
    runPracticeSwap(world, path, part, options),
  );
}

function addAnswer(practice: Command, wiring: Wiring): void {
  const command = practice
    .command('answer')
    .argument('<exercise>', 'exercise file')
    .argument('<verdict...>', 'PART, PART:MODE, or several parts that no reading tells apart')
    .addHelpText('before', exampleText(examples.answer))
    .description('Say what it is. After that nothing is added to the record.')
    .addOption(recordOption());
  act<AnswerOptions>(command, wiring, ({ runPracticeAnswer }, world, [path = '', ...verdicts], options) =>
    runPracticeAnswer(world, path, verdicts.map(String), options),
  );
}

function addGrade(practice: Command, wiring: Wiring): void {
  const command = practice
    .command('grade')
    .argument('<exercise...>', 'an exercise, or a folder of exercises and records')
    .addHelpText('before', exampleText(examples.grade))
    .description('Marks for the answer and for the method, each explained; csv for a class.')
    .addOption(listOption('-r, --record <file>', 'what a learner did; may be given again'))
    .addOption(passphrase());
  act<GradeOptions>(
    command,
    wiring,
    ({ runPracticeGrade }, world, paths, options) => runPracticeGrade(world, paths.map(String), options),
    ['csv'],
  );
}
