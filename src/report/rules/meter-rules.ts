import type { MeterProblemData } from '../../meter/meter.js';
import type { RuleDoc, RuleDocs } from './rule-doc.js';

/** An entry of the readings. */
function reading(about: string, bad: string, good: string): RuleDoc {
  return { of: 'readings', about, bad: `  - { ${bad} }`, good: `  - { ${good} }` };
}

const usual = 'in: drying, red: TH.2, black: MAINS.N, reads: 0.2 V';

/** Readings, symptoms and expectations. */
export const meterRules: RuleDocs<keyof MeterProblemData> = {
  'reading-lead-missing': reading(
    'A reading has two leads, or a wire that the clamp is around: every voltage lies between two places.',
    'in: drying, red: TH.2, reads: 0.2 V',
    usual,
  ),
  'reading-keys-conflict': reading(
    'A reading is taken with two leads or with a clamp.',
    'in: drying, on: FEED, red: TH.2, reads: 2.1 A',
    'in: drying, on: FEED, reads: 2.1 A',
  ),
  'reading-same-node': reading(
    'The leads are on two different places.',
    'in: drying, red: TH.2, black: TH.2, reads: 0.2 V',
    usual,
  ),
  'reading-ohms-live': reading(
    'Ohms are read with the power off: a live circuit gives a wrong value, and can hurt you and the meter.',
    'in: drying, red: HEAT.1, black: HEAT.2, reads: 106 ohm',
    'in: { power: off }, red: HEAT.1, black: HEAT.2, reads: 106 ohm',
  ),
  'reading-unit-misplaced': reading(
    'Two leads read volts or ohms, a clamp reads amps.',
    'in: drying, on: FEED, reads: 230 V',
    'in: drying, on: FEED, reads: 2.1 A',
  ),
  'reading-hazard': reading(
    'A place that is marked as hazardous is never probed.',
    'in: drying, red: CTL.HV, black: MAINS.N, reads: 0.2 V',
    usual,
  ),
  'reading-clamp': reading(
    'A clamp goes around one conductor.',
    'in: drying, on: CTL, reads: 2.1 A',
    'in: drying, on: FEED, reads: 2.1 A',
  ),
  'supply-range': {
    of: 'readings',
    about:
      'What was measured at the outlet is what such a supply can give; else that is to be put right first.',
    bad: 'supply: { MAINS: 12 V }',
    good: 'supply: { MAINS: 229 V }',
  },
  'symptom-empty': {
    of: 'readings',
    about: 'A symptom says of a load whether it works, or which protector opens.',
    bad: '  - { in: drying, note: stays cold }',
    good: '  - { in: drying, load: HEAT, works: no }',
  },
  'expectation-empty': {
    about: 'An expectation says what is read, or whether a load works.',
    bad: 'expectations:\n  - { in: drying, red: SW.2, black: MAINS.N }',
    good: 'expectations:\n  - { in: drying, red: SW.2, black: MAINS.N, reads: 230 V }',
  },
};
