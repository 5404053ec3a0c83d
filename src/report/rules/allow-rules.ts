import type { TextProblemData } from '../../text/text.js';
import type { RuleDocs } from './rule-doc.js';

const spare = (remark: string) =>
  `passives:\n  # ${remark}\n  R1: { kind: resistor, between: [F1.2, R1.2], resistance: 10 kohm }`;
const good = spare('loadside-allow node-dangling -- R1.2 is where the next model has its lamp');

/** Remarks that let a finding pass. */
export const allowRules: RuleDocs<Extract<keyof TextProblemData, `allow-${string}`>> = {
  'allow-form': {
    about: 'A remark that lets a finding pass names the rule and says why it does not count here.',
    bad: spare('loadside-allow node-dangling'),
    good,
  },
  'allow-unknown': {
    about: 'A remark that lets a finding pass names a rule that there is.',
    bad: spare('loadside-allow node-dangeling -- R1.2 is where the next model has its lamp'),
    good,
  },
  'allow-refused': {
    about: 'What makes a file unusable, and what is about safety, is told whatever a remark says.',
    bad: '  # loadside-allow supply-shorted -- the drawing has it so\n  - { from: SW.2, to: CTL.1 }',
    good: '  - { from: SW.2, to: CTL.1 }',
  },
  'allow-unused': {
    about: 'A remark lets something pass; one that no longer does is taken out.',
    bad: '  # loadside-allow node-dangling -- R1.2 is where the next model has its lamp\n  - { from: SW.2, to: CTL.1 }',
    good: '  - { from: SW.2, to: CTL.1 }',
  },
};
