import type { CheckVerdict } from '../diagnose/diagnose.js';
import { type ExitStatus, exitStatus } from './exit-status.js';

/** What a comparison ends with. */
export const verdictStatus: Readonly<Record<CheckVerdict, ExitStatus>> = {
  agrees: exitStatus.agrees,
  bounded: exitStatus.found,
  ambiguous: exitStatus.found,
  unexplained: exitStatus.found,
  undecided: exitStatus.undecided,
};
