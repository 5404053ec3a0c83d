import type { TextProblemData } from '../../text/text.js';
import type { RuleDocs } from './rule-doc.js';

type Code = Extract<keyof TextProblemData, `quantity-${string}`>;

const good = '    voltage: 230 V';

/** Numbers with their units. */
export const quantityRules: RuleDocs<Code> = {
  'quantity-number': {
    about: 'A quantity starts with a number, in digits.',
    bad: '    voltage: 23O V',
    good,
  },
  'quantity-comma': {
    about: 'Numbers have a decimal point, and nothing between the thousands: 1,200 may mean two things.',
    bad: '    voltage: 230,0 V',
    good,
  },
  'quantity-unit': {
    about: 'A quantity has a unit of what its key asks for.',
    bad: '    voltage: 230 W',
    good,
  },
  'quantity-range': {
    about: 'A quantity is one that such a part can have.',
    bad: '    voltage: 0 V',
    good,
  },
};
