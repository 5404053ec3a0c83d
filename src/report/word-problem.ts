import type { CircuitProblem } from '../circuit/circuit.js';
import type { AuditProblem } from '../diagnose/diagnose.js';
import type { MeterProblem } from '../meter/meter.js';
import type { PracticeProblem } from '../practice/practice.js';
import type { TextProblem } from '../text/text.js';
import type { Wording } from './phrases.js';
import { auditWordings } from './word-audit-problem.js';
import { circuitWordings } from './word-circuit-problem.js';
import { meterWordings } from './word-meter-problem.js';
import { practiceWordings } from './word-practice-problem.js';
import { textWordings } from './word-text-problem.js';

/** Everything that can be wrong in what a person wrote. */
export type Problem = TextProblem | CircuitProblem | MeterProblem | AuditProblem | PracticeProblem;

/** A code that has no words does not compile. */
const wordings = {
  ...textWordings,
  ...circuitWordings,
  ...meterWordings,
  ...auditWordings,
  ...practiceWordings,
};

/**
 * A problem in words: what is wrong at the place, with what was found; then what would be right. What came from a
 * file is clean in it. The only place where problems are worded.
 */
export function wordProblem(problem: Problem): Wording {
  const word = wordings[problem.code] as (data: Problem['data']) => Wording;
  return word(problem.data);
}
