import type { TextProblemData } from '../../text/text.js';
import type { RuleDocs } from './rule-doc.js';

type Code = Exclude<
  keyof TextProblemData,
  `quantity-${string}` | `allow-${string}` | 'json-syntax' | 'file-unusable'
>;

const title = 'title: Drying cabinet';

/** A file as text: its characters, its YAML or CSV, its keys and values. */
export const textRules: RuleDocs<Code> = {
  'encoding-unknown': {
    about: 'A file is UTF-8 text. Other encodings show other letters on another computer.',
    bad: 'title: Séchoir                  (saved as Latin-1)',
    good: 'title: Séchoir                  (saved as UTF-8)',
  },
  'character-forbidden': {
    about: 'No hidden characters: they can hide, or turn round, what a reader sees.',
    bad: 'title: Drying \u202Ecabinet',
    good: title,
  },
  'limit-exceeded': {
    about: 'A file stays within what any appliance needs, so that no file can stop a run.',
    bad: `title: ${'['.repeat(65)}${']'.repeat(65)}`,
    good: title,
  },
  'yaml-syntax': {
    about: 'A file is well-formed YAML 1.2.',
    bad: 'title: "Drying cabinet',
    good: title,
  },
  'yaml-duplicate-key': {
    about: 'A key stands once in its map: of two, one would be lost.',
    bad: '  drying: { SW: on, air: 40 }\n  drying: { SW: off }',
    good: '  drying: { SW: on, air: 40 }',
  },
  'yaml-alias': {
    about: 'No anchors and aliases: a value is written where it is needed.',
    bad: 'title: &name Drying cabinet',
    good: title,
  },
  'yaml-merge-key': {
    about: 'No merge keys: a state that builds on others is written as a list.',
    bad: '  drying: { <<: { SW: on }, air: 40 }',
    good: '  drying: [{ SW: on }, { air: 40 }]',
  },
  'yaml-tag': {
    about: 'No tags: the format says what each value is.',
    bad: 'title: !text Drying cabinet',
    good: title,
  },
  'yaml-version': {
    about: 'Files are YAML 1.2, in which on, off, yes and no are words.',
    bad: '%YAML 1.1\n---\nloadside: circuit/1',
    good: 'loadside: circuit/1',
  },
  'yaml-several-documents': {
    about: 'A file holds one document.',
    bad: 'states:\n  drying: { SW: on, air: 40 }\n---\ntitle: Another cabinet',
    good: 'states:\n  drying: { SW: on, air: 40 }',
  },
  'yaml-conflict-marker': {
    about: 'Two versions of a file are merged before it is read.',
    bad: '<<<<<<< mine\ntitle: Drying cabinet\n=======\ntitle: Dryer\n>>>>>>> theirs',
    good: title,
  },
  'yaml-key-kind': {
    about: 'A key is text.',
    bad: 'title: Drying cabinet\n? [a, b]\n: x',
    good: title,
  },
  'file-empty': {
    about: 'A file holds a map of keys and values.',
    bad: '# nothing yet',
    good: 'loadside: circuit/1',
  },
  'file-kind': {
    about:
      'A file says what kind it is, and each command takes its own: an assembly, say, is a piece that circuits include.',
    bad: 'loadside: assembly/1',
    good: 'loadside: circuit/1',
  },
  'key-unknown': {
    about: 'Each key belongs where it stands; one that is misspelt would be lost.',
    bad: '  F1: { kind: fuse, between: [F1.1, F1.2], ratng: 5 A }',
    good: '  F1: { kind: fuse, between: [F1.1, F1.2], rating: 5 A }',
  },
  'key-missing': {
    about: 'Keys that are always needed are there.',
    bad: '  F1: { kind: fuse, rating: 5 A }',
    good: '  F1: { kind: fuse, between: [F1.1, F1.2], rating: 5 A }',
  },
  'value-kind': {
    about: 'A value is of the kind its key takes: a text, a number, a list or a map.',
    bad: 'title: [Drying, cabinet]',
    good: title,
  },
  'value-choice': {
    about: 'Where a value is one of a few words, it is one of them.',
    bad: '  F1: { kind: fues, between: [F1.1, F1.2], rating: 5 A }',
    good: '  F1: { kind: fuse, between: [F1.1, F1.2], rating: 5 A }',
  },
  'value-count': {
    about: 'A list has as many entries as its key takes.',
    bad: '  F1: { kind: fuse, between: [F1.1], rating: 5 A }',
    good: '  F1: { kind: fuse, between: [F1.1, F1.2], rating: 5 A }',
  },
  'value-range': {
    about: 'A bare number is within what its key takes.',
    bad: 'connectors:\n  J1: { pins: 0, sides: [J1h, J1b] }',
    good: 'connectors:\n  J1: { pins: 3, sides: [J1h, J1b] }',
  },
  'name-form': {
    about: 'A name starts with a letter and goes on with letters, digits, - and _.',
    bad: '  - { from: SW.2, to: TH.1, id: FEED 1 }',
    good: '  - { from: SW.2, to: TH.1, id: FEED }',
  },
  'text-length': {
    about: 'A text is no longer than its key takes; what needs more room goes under about.',
    bad: `title: ${'Drying cabinet '.repeat(14)}`,
    good: title,
  },
  'csv-syntax': {
    of: 'readings table',
    about: 'Each row of a readings table has a cell for each column.',
    bad: 'SW=on,TH.2,MAINS.N,,0.2 V',
    good: 'SW=on,TH.2,MAINS.N,,0.2 V,,',
  },
  'csv-header': {
    of: 'readings table',
    about: 'The first row of a readings table names its columns.',
    bad: 'in,rot,black,on,reads,input,note',
    good: 'in,red,black,on,reads,input,note',
  },
};
