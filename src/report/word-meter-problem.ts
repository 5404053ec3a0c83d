import type { MeterProblemData } from '../meter/meter.js';
import { clean } from './clean.js';
import { listed, named, namedAll, type Wordings } from './phrases.js';

/** What can be wrong with readings, symptoms and expectations. */
export const meterWordings: Wordings<MeterProblemData> = {
  'reading-lead-missing': ({ missing }) => ({
    headline: `this reading does not say where the ${clean(missing)} lead was`,
    help: `Write ${clean(missing)}: and its node. For a clamp write on: and the wire it was around.`,
  }),
  'reading-keys-conflict': ({ keys }) => ({
    headline: `${listed(namedAll(keys), 'and')} don't go together`,
    help: keys.includes('on')
      ? 'A reading has red and black for two leads, or on for a clamp around a wire.'
      : keys.includes('opens')
        ? 'A symptom has load and works for a load, or opens for a protector that was seen to go.'
        : 'An expectation has reads for a reading, or load and works for a load.',
  }),
  'reading-same-node': ({ node }) => ({
    headline: `both leads are at ${named(node)}`,
    help: 'Between a place and itself there is nothing to read.',
  }),
  'reading-ohms-live': () => ({
    headline: 'ohms are read with the power off, and this state has it on',
    help: "If the power was off, add power: off to this reading's state. Prove a circuit dead before reading ohms in it.",
  }),
  'reading-unit-misplaced': ({ found, expected }) =>
    expected === 'A'
      ? {
          headline: `a clamp around a wire reads A, not ${clean(found)}`,
          help: 'For V or ohm write red: and black: with the nodes the leads were at.',
        }
      : {
          headline: `two leads read ${clean(expected)}, not ${clean(found)}`,
          help: 'For A write on: and the wire the clamp was around.',
        },
  'reading-hazard': ({ node, hazard }) => ({
    headline: `${named(node)} is never probed: it is marked ${named(hazard)}`,
    help: 'Take this reading out. What is wrong there has to be told from readings elsewhere.',
  }),
  'reading-clamp': ({ part }) => ({
    headline: `a clamp does not fit around ${named(part)}`,
    help: 'A clamp goes around a single conductor: name the wire, or a part with one way through it.',
  }),
  'supply-range': ({ supply, found, least, most, toNeutral }) => ({
    headline: `${named(supply)} can't have measured ${clean(found)}; expected ${clean(least)} to ${clean(most)}`,
    help: toNeutral
      ? 'Give what one leg has to neutral; between two legs there is more. A supply that is far off is to be put right first.'
      : 'A supply as far off as that is a fault of its own, to be put right first.',
  }),
  'expectation-empty': () => ({
    headline: 'this expectation expects nothing',
    help: 'Add reads: with the leads of a reading, or load: with works: yes or no.',
  }),
  'symptom-empty': () => ({
    headline: 'this symptom says nothing',
    help: 'Add load: with works: yes or no, or opens: with the protector that blew or tripped.',
  }),
};
