import type { CircuitProblemData } from '../circuit/circuit.js';
import { clean } from './clean.js';
import {
  allowedHelp,
  listed,
  meant,
  named,
  namedAll,
  type Wording,
  type Wordings,
  worded,
} from './phrases.js';

type Unknown = CircuitProblemData['reference-unknown'];

/** What can be wrong with names, parts and nodes. */
const partWordings = {
  'name-duplicate': ({ name }) => ({
    headline: `${named(name)} already names something else in this file`,
    help: 'Every part, wire and condition needs a name of its own.',
  }),
  'name-reserved': ({ name }) => ({
    headline: `${named(name)} can't be a name: in a state that word has a meaning already`,
    help: 'Choose any name but power, unplugged, disconnected and removed.',
  }),
  'reference-unknown': wordUnknown,
  'face-pin': ({ pin, pins, twice }) => ({
    headline: twice ? `pin ${pin} stands on this face twice` : `there is no pin ${pin}`,
    help: `Each pin from 1 to ${pins} stands on the face once.`,
  }),
  'face-incomplete': ({ missing }) => ({
    headline: `${missing.length === 1 ? 'pin' : 'pins'} ${listed(missing.map(String), 'and')} of this connector ${missing.length === 1 ? 'does' : 'do'} not stand on its face`,
    help: 'Each pin stands on the face once.',
  }),
  'fault-value': ({ found, expected, example }) => ({
    headline: `${named(found)}: ${clean(expected)}`,
    help: `Write it like this: ${clean(example)}.`,
  }),
  'node-same': ({ part, node }) => ({
    headline: `both ends of ${named(part)} are at ${named(node)}`,
    help: 'A part sits between two different nodes.',
  }),
  'node-dangling': ({ node, nearest }) => ({
    headline: `nothing else touches ${named(node)}${meant(nearest)}`,
    help: 'If a wire ends here, it is missing, or it names another node.',
  }),
  'key-needed': ({ part, keys }) => ({ headline: `${named(part)} needs ${listed(keys.map(clean), 'or')}` }),
  'key-conflict': ({ part, keys }) => ({
    headline: `${listed(namedAll(keys), 'and')} don't go together in ${named(part)}`,
    help:
      keys.includes('closed-in') && keys.includes('follows')
        ? 'A contact that follows a number has opens-above or closes-above in place of closed-in.'
        : 'Keep one of them.',
  }),
  'count-differs': ({ part, key, found, expected }) => ({
    headline: `${clean(key)} of ${named(part)} has ${found} ${found === 1 ? 'entry' : 'entries'}; its windings are ${expected}`,
    help: 'One for each winding: the primary first, then every secondary.',
  }),
  'curve-order': ({ part, found }) => ({
    headline: `the temperature ${named(found)} in the table of ${named(part)} does not lie above the one before it`,
    help: 'Write the table with temperatures rising.',
  }),
  'wire-none': ({ node }) => ({
    headline: `no wire ends at ${named(node)}, so none can be lifted there`,
    help: 'After disconnected: come terminals that a wire ends at.',
  }),
  'earth-colour': ({ wire, colour }) => ({
    headline: `the wire ${named(wire)} is ${named(colour)}, the colour of protective earth`,
    help: 'Check where it goes: that colour is kept for protective earth.',
  }),
} satisfies Partial<Wordings<CircuitProblemData>>;

/** What can be wrong with supplies, thresholds and states. */
const stateWordings = {
  'terminal-needed': ({ supply, system, terminal }) => ({
    headline: `${named(supply)} has no terminal ${named(terminal)}; a ${clean(system)} supply needs one`,
  }),
  'terminal-foreign': ({ supply, system, terminal, allowed }) =>
    worded(
      `${named(supply)} is ${clean(system)}, which has no terminal ${named(terminal)}`,
      allowedHelp('Its terminals are', 'terminals', allowed),
    ),
  'threshold-order': ({ part, upper, lower }) => ({
    headline: `${named(lower)} of ${named(part)} is higher than its ${named(upper)}`,
    help: `It must be no higher than ${named(upper)}: between the two the contact stays as it was.`,
  }),
  'state-undecided': ({ switch: name, condition, value, contact }) => ({
    headline: `at ${named(condition)} ${named(value)} the contact ${named(contact)} may be open or closed`,
    help: `${named(value)} lies between its two thresholds, where it stays as it was. Write ${clean(name)}: open or ${clean(name)}: closed in this state.`,
  }),
  'state-contradiction': ({ switch: name, said, condition, value }) => ({
    headline: `${named(name)} can't be ${named(said)} at ${named(condition)} ${named(value)}`,
    help: `Leave ${named(name)} out of this state, or change ${named(condition)}.`,
  }),
  'state-value': ({ key, found, expected }) => ({
    headline: `${named(found)} does not fit ${named(key)}; expected ${clean(expected)}`,
  }),
  'state-loop': ({ state }) => ({
    headline: `the state ${named(state)} is made of itself`,
    help: 'Take it out of the states it is made of.',
  }),
  'state-long': ({ limit }) => ({
    headline: `this state is put together from more than ${limit} others`,
    help: 'Named states that name states double with every step: write the last one out.',
  }),
  'curve-range': ({ sensor, condition, found, from, to }) => ({
    headline: `${named(condition)} ${named(found)} is beyond the curve of ${named(sensor)}, ${rangeWords(from, to)} degC`,
    help: 'What the sensor then has is not known: keep the condition within the curve, or write a longer table.',
  }),
  'condition-range': ({ condition, found, from, to }) => ({
    headline: `${named(condition)} ${named(found)} is out of its range, ${rangeWords(from, to)}`,
  }),
} satisfies Partial<Wordings<CircuitProblemData>>;

/** What can be wrong with files that make up a circuit. */
const fileWordings = {
  'include-path': ({ file, why }) => ({
    headline: `${named(file)} can't be included: it ${clean(why)}`,
    help: 'Write a path relative to this file, with forward slashes, that stays in the folder of the circuit.',
  }),
  'include-missing': ({ file, why }) => ({ headline: `${named(file)} can't be included: ${clean(why)}` }),
  'include-kind': ({ file }) => ({
    headline: `${named(file)} can't be included: it does not say that it is an assembly`,
    help: 'A file that is meant to be included starts with the line loadside: assembly/1.',
  }),
  'include-loop': ({ files }) => ({
    headline: `these files include one another without end: ${listed(namedAll(files), 'and')}`,
    help: 'Take the piece that both need into a file of its own.',
  }),
} satisfies Partial<Wordings<CircuitProblemData>>;

export const circuitWordings: Wordings<CircuitProblemData> = {
  ...partWordings,
  ...stateWordings,
  ...fileWordings,
};

const plurals: Readonly<Record<string, string>> = {
  'switch or condition': 'names',
  'condition or load': 'names',
  'node or condition': 'names',
  switch: 'switches',
  supply: 'supplies',
};

/** Things whose names belong to another thing: positions to a switch, inputs to a module. */
function wordUnknown({ what, found, of, nearest, allowed }: Unknown): Wording {
  const isBareNode = what === 'node' && !found.includes('.');
  const headline =
    of === undefined ? `no ${what} is called ${named(found)}` : `${named(of)} has no ${what} ${named(found)}`;
  if (isBareNode && nearest === undefined) {
    return {
      headline,
      help: 'A node is a terminal (PART.TERMINAL), or a splice that two things or more touch.',
    };
  }
  const things = plurals[what] ?? `${what}s`;
  const label = of === undefined ? `The ${things} are` : `The ${things} of ${named(of)} are`;
  const shortLabel = what === 'node' ? `${found.split('.')[0]}` : label;
  return worded(
    headline + meant(nearest),
    what === 'node' && allowed.length <= 8
      ? allowedHelp(`Terminals of ${named(shortLabel)}`, things, allowed)
      : allowedHelp(label, things, allowed),
  );
}

/** A bound that is not stated comes as "any". */
function rangeWords(from: string, to: string): string {
  if (from === 'any') return `at most ${clean(to)}`;
  return to === 'any' ? `at least ${clean(from)}` : `${clean(from)} to ${clean(to)}`;
}
