import type { TextProblemData } from '../text/text.js';
import { clean } from './clean.js';
import { count } from './number.js';
import { allowedHelp, listed, meant, named, namedAll, type Wordings, worded } from './phrases.js';

const characterNames: Readonly<Record<string, string>> = {
  'U+0000': 'null',
  'U+001B': 'escape',
  'U+00AD': 'soft hyphen',
  'U+200B': 'zero-width space',
  'U+202E': 'right-to-left override',
  'U+FEFF': 'byte order mark',
};

const tooMuch: Readonly<Record<string, string>> = {
  bytes: 'the file is too big',
  nesting: 'this is nested too deeply',
  'text length': 'this text is too long',
  'row length': 'this row is too long',
  'included bytes': 'the circuit is too big with all it includes',
  'include depth': 'files include one another too deeply',
};

/** A quantity's dimension with its article. */
const dimensions: Readonly<Record<string, string>> = {
  current: 'a current',
  'apparent-power': 'an apparent power',
  inductance: 'an inductance',
  ratio: 'a share in percent',
  gauge: 'a wire gauge',
};

interface KindWords {
  readonly a: string;
  /** What to do with it, where something else is needed. */
  readonly use: string;
}

/** Kinds of files, by what stands before the slash. */
const kindWords: Readonly<Record<string, KindWords>> = {
  circuit: {
    a: 'a circuit file',
    use: 'For a readings file to fill in: loadside sheet CIRCUIT --format yaml. For an exercise: loadside practice new CIRCUIT.',
  },
  assembly: {
    a: 'an assembly, a piece for circuits to include',
    use: 'Give the circuit that includes it.',
  },
  readings: {
    a: 'a readings file',
    use: 'It goes with check, next and report, and with draw --readings; the circuit is the file it names as circuit:.',
  },
  exercise: {
    a: 'a practice exercise',
    use: 'Work at it with: loadside practice try EXERCISE, or practice measure. The circuit stands in it, and what was read is kept with --record.',
  },
  record: {
    a: 'the record of a practice exercise',
    use: 'It goes with its exercise: loadside practice grade EXERCISE --record RECORD.',
  },
  report: { a: 'an answer of loadside', use: 'Give the file that was asked about.' },
};

function kindOf(format: string): KindWords {
  const [kind = ''] = format.split('/');
  return Object.hasOwn(kindWords, kind) ? (kindWords[kind] as KindWords) : { a: named(format), use: '' };
}

/** What can be wrong with a file as text: its characters, its YAML or CSV, its keys. */
const fileWordings = {
  'encoding-unknown': ({ guess }) => ({
    headline:
      guess === undefined
        ? 'this file is not UTF-8 text'
        : `this file is not UTF-8 text; it looks like ${clean(guess)}`,
    help: 'Save it as UTF-8.',
  }),
  'character-forbidden': ({ character }) => {
    const name = Object.hasOwn(characterNames, character) ? ` (${characterNames[character]})` : '';
    return {
      headline: `the hidden character ${clean(character)}${name} stands here`,
      help: 'Delete it: it can hide or reorder what a reader sees.',
    };
  },
  'limit-exceeded': ({ what, found, limit, unit }) => ({
    headline: `${Object.hasOwn(tooMuch, what) ? tooMuch[what] : `too many ${clean(what)}`}: ${found} ${clean(unit)}, at most ${limit} are read`,
    ...(what === 'text length' || what === 'row length'
      ? { help: 'A quote that is not closed takes in the lines below it.' }
      : {}),
  }),
  'yaml-syntax': ({ detail }) => ({ headline: clean(detail) }),
  'json-syntax': ({ detail }) => ({
    headline: clean(detail),
    help: 'JSON has double quotes around every key and every text, and no comma behind the last of a list.',
  }),
  'yaml-duplicate-key': ({ key }) => ({
    headline: `the key ${named(key)} is written twice here`,
    help: 'Keep one of them, or give the second a name of its own.',
  }),
  'yaml-alias': () => ({
    headline: 'anchors (&) and aliases (*) are not used in these files',
    help: 'Write the value out wherever it is needed. Text that starts with & or * goes in quotes.',
  }),
  'yaml-merge-key': () => ({
    headline: 'the merge key << is not used in these files',
    help: 'Write the keys out here.',
  }),
  'yaml-tag': ({ tag }) => ({
    headline: `the tag ${clean(tag)} is not used in these files`,
    help: 'Delete it. Text that starts with ! goes in quotes.',
  }),
  'yaml-version': ({ found }) => ({
    headline: `this file says it is YAML ${named(found)}; these files are YAML 1.2`,
    help: 'Delete the line that starts with %YAML.',
  }),
  'yaml-several-documents': () => ({
    headline: 'a second document starts here (---); a file holds one',
    help: 'Put it in a file of its own, or delete the line ---.',
  }),
  'yaml-conflict-marker': () => ({
    headline: 'two versions of this file were never merged: <<<<<<< stands here',
    help: 'Keep one of the two versions below, and delete the lines with <<<<<<<, ======= and >>>>>>>.',
  }),
  'yaml-key-kind': ({ found }) =>
    found === 'nothing'
      ? { headline: 'nothing stands before this colon; a key belongs there' }
      : {
          headline: `a key must be text, not ${clean(found)}`,
          help: 'Text that starts with [ or { goes in quotes.',
        },
  'file-empty': ({ expected }) => ({
    headline: 'the file is empty',
    help: `It should hold ${clean(expected)}.`,
  }),
  'file-kind': ({ found, expected }) =>
    found === undefined
      ? {
          headline: `nothing says what kind of file this is; ${kindOf(expected).a} is needed here`,
          help: `${capital(kindOf(expected).a)} has the line loadside: ${clean(expected)}. Notes, and the answers of examples (*.key.yaml), are for people.`,
        }
      : {
          headline: `this is ${kindOf(found).a} (${clean(found)}); ${kindOf(expected).a} is needed here`,
          help: kindOf(found).use,
        },
  'file-unusable': ({ reason }) => ({ headline: `the file can't be read: ${clean(reason)}` }),
  'csv-syntax': ({ detail }) => ({ headline: clean(detail) }),
  'csv-header': ({ found, allowed, nearest }) =>
    worded(
      `${found === '' ? 'an empty cell' : named(found)} is not a column of a readings table${meant(nearest)}`,
      allowedHelp('The columns are', 'columns', allowed),
    ),
} satisfies Partial<Wordings<TextProblemData>>;

/** What can be wrong with one key or value. */
const valueWordings = {
  'key-unknown': ({ key, allowed, nearest, bare }) =>
    worded(
      `the key ${named(key)} does not belong here${meant(nearest)}`,
      /^\d/.test(key)
        ? 'If this is part of a number: a comma inside { } starts a new key, so numbers have a decimal point.'
        : bare === true && nearest === undefined
          ? 'If this belongs to the text before it: a comma inside { } starts a new key, so a text with a comma goes in quotes.'
          : allowedHelp('Keys that belong here', 'keys', allowed),
    ),
  'key-missing': ({ key }) => ({ headline: `${named(key)} is missing here; it is always needed` }),
  'value-kind': ({ found, expected, hint }) => ({
    headline: `${clean(found)} stands here; expected ${clean(expected)}`,
    ...(hint === undefined ? {} : { help: sentence(clean(hint)) }),
  }),
  'value-choice': ({ found, allowed, nearest }) => {
    const [only, ...others] = allowed;
    return only !== undefined && others.length === 0
      ? { headline: `${named(found)} does not belong here; expected ${named(only)}` }
      : worded(
          `${named(found)} is not one of the choices here${meant(nearest)}`,
          allowedHelp('The choices are', 'choices', allowed),
        );
  },
  'value-count': ({ found, least, most }) => ({
    headline: `${found === 1 ? '1 entry stands' : `${found} entries stand`} here; ${bounds(least, most)}`,
  }),
  'value-range': ({ found, least, most }) => ({
    // A limit that is refused itself was an open one.
    headline: `${found} is out of range; it must be ${
      found === least ? `more than ${least}` : found === most ? `less than ${most}` : bounds(least, most)
    }`,
  }),
  'name-form': ({ found }) => ({
    headline: `${named(found)} can't be a name`,
    help: 'Names start with a letter and go on with letters, digits, - and _. A node is written PART.TERMINAL, such as B2.1.',
  }),
  'text-length': ({ found, most }) => ({
    headline: `this text has ${count(found, 'character')}; ${bounds(undefined, most)}`,
  }),
} satisfies Partial<Wordings<TextProblemData>>;

/** What can be wrong with a quantity and its unit. */
const quantityWordings = {
  'quantity-number': ({ found, dimension, example }) => ({
    headline: `${named(found)} can't be read as ${aDimension(dimension)}; write it like ${clean(example)}`,
  }),
  'quantity-comma': ({ found, fix }) => ({
    headline: `${named(found)} has a comma in its number${fix === '' ? '' : `; write ${clean(fix)}`}`,
    help: 'Numbers have a decimal point, and nothing between the thousands.',
  }),
  'quantity-unit': ({ found, unit, dimension, units, nearest }) =>
    worded(
      unit === ''
        ? `${named(found)} has no unit`
        : `the unit ${named(unit)} of ${named(found)} is not one for ${aDimension(dimension)}${meant(nearest)}`,
      unitHelp(dimension, units),
    ),
  'quantity-range': ({ found, dimension, least, most, exclusiveLeast }) => ({
    headline: `${named(found)} is out of range for ${aDimension(dimension)}; it must be ${bounds(least, most, exclusiveLeast)}`,
  }),
} satisfies Partial<Wordings<TextProblemData>>;

/** What can be wrong with remarks that allow a finding. */
const allowWordings = {
  'allow-form': () => ({
    headline: 'this remark allows nothing, for it is not written as one that does',
    help: 'Write it as: # loadside-allow CODE -- why it is right here.',
  }),
  'allow-unknown': ({ found, nearest }) => ({
    headline: `no rule is called ${named(found)}${meant(nearest)}`,
    help: 'The command loadside rules lists them.',
  }),
  'allow-refused': ({ found }) => ({
    headline: `${named(found)} can't be allowed`,
    help: 'A file that is wrong is put right, and what concerns safety is always told.',
  }),
  'allow-unused': ({ found }) => ({
    headline: `${named(found)} finds nothing here, so there is nothing to allow`,
    help: 'Delete the remark, or move it to the line it is meant for or the line above that.',
  }),
} satisfies Partial<Wordings<TextProblemData>>;

export const textWordings: Wordings<TextProblemData> = {
  ...fileWordings,
  ...valueWordings,
  ...quantityWordings,
  ...allowWordings,
};

function aDimension(dimension: string): string {
  return Object.hasOwn(dimensions, dimension) ? `${dimensions[dimension]}` : `a ${clean(dimension)}`;
}

/** With its prefixes a unit has many spellings: the first are the usual ones. A reading has a few of several units. */
function unitHelp(dimension: string, units: readonly string[]): string | undefined {
  if (units.length === 0) return undefined;
  if (dimension === 'reading' || units.length <= 8) return `Write it with ${listed(namedAll(units), 'or')}.`;
  return `Write it with ${listed(namedAll(units.slice(0, 6)), 'or')}, or another of its ${units.length} units.`;
}

/** "at least 2", "more than 0 V and at most 10 V"; bounds as they are. */
function bounds(
  least: number | string | undefined,
  most: number | string | undefined,
  exclusiveLeast?: boolean,
): string {
  return listed(
    [
      ...(least === undefined
        ? []
        : [`${exclusiveLeast === true ? 'more than' : 'at least'} ${clean(`${least}`)}`]),
      ...(most === undefined ? [] : [`at most ${clean(`${most}`)}`]),
    ],
    'and',
  );
}

/** A hint as a sentence, unless it ends in text to be copied. */
function sentence(hint: string): string {
  return hint.includes(':') ? capital(hint) : `${capital(hint)}.`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
