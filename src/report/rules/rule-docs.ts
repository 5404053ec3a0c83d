import type { PracticeProblem } from '../../practice/practice.js';
import type { Problem } from '../word-problem.js';
import { allowRules } from './allow-rules.js';
import { auditRules } from './audit-rules.js';
import { circuitRules } from './circuit-rules.js';
import { meterRules } from './meter-rules.js';
import { quantityRules } from './quantity-rules.js';
import type { RuleDoc } from './rule-doc.js';
import { textRules } from './text-rules.js';

/**
 * Rules for what a person writes: exercises and records of practice are written by the program, and JSON and calls of
 * the library by other programs.
 */
export type RuleCode = Exclude<
  Problem['code'],
  PracticeProblem['code'] | 'json-syntax' | 'file-unusable' | 'fault-value'
>;

/** A code without documentation does not compile. */
const rules: Readonly<Record<RuleCode, RuleDoc>> = {
  ...textRules,
  ...quantityRules,
  ...circuitRules,
  ...meterRules,
  ...auditRules,
  ...allowRules,
};

export function isRule(code: string): code is RuleCode {
  return Object.hasOwn(rules, code);
}

export function ruleDocOf(code: RuleCode): RuleDoc {
  return rules[code];
}
