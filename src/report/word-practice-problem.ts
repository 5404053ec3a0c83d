import type { PracticeProblemData } from '../practice/practice.js';
import { named, type Wordings } from './phrases.js';

/** What can be wrong with exercises and records of practice. */
export const practiceWordings: Wordings<PracticeProblemData> = {
  'exercise-seal': () => ({
    headline: 'the seal does not fit: this exercise was changed after it was written',
    help: 'Take the file as it was handed out, or write it again with practice new.',
  }),
  'exercise-fault': () => ({
    headline: 'what is planted in this exercise is no fault of its circuit',
    help: 'It was written by another version of loadside: write it again with practice new.',
  }),
  'record-exercise': () => ({
    headline: 'this record belongs to another exercise',
    help: 'Give the exercise that it was begun with, or a record file of another name.',
  }),
  'record-line': ({ act }) => ({
    headline: `line ${act} of this record is not as it was written`,
    help: 'It was changed, or one before it was taken out. Only what practice itself wrote is graded.',
  }),
  'record-replay': ({ act, found, expected }) => ({
    headline: `line ${act} of this record says ${named(found)} and the exercise gives ${named(expected)}`,
    help: 'It was written by another version of loadside, which reckoned otherwise.',
  }),
};
