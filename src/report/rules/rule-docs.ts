import type { Problem } from '../word-problem.js';
import { allowRules } from './allow-rules.js';
import { auditRules } from './audit-rules.js';
import { circuitRules } from './circuit-rules.js';
import { meterRules } from './meter-rules.js';
import { quantityRules } from './quantity-rules.js';
import type { RuleDoc } from './rule-doc.js';
import { textRules } from './text-rules.js';

/** A code without documentation does not compile. */
const rules: Readonly<Record<Problem['code'], RuleDoc>> = {
  ...textRules,
  ...quantityRules,
  ...circuitRules,
  ...meterRules,
  ...auditRules,
  ...allowRules,
};

export function ruleDocOf(code: Problem['code']): RuleDoc {
  return rules[code];
}
