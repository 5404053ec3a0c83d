/** The only table of exit statuses: a category, never a count. */
export const exitStatus = {
  /** All agrees, or the thing asked for was done. */
  agrees: 0,
  /** A discrepancy, a failed expectation or an invalid circuit was found. */
  found: 1,
  /** The call or an input is unusable. */
  unusable: 2,
  /** It ran and can't say. */
  undecided: 3,
  /** A defect in loadside. */
  defect: 70,
  /** Stopped by SIGINT or SIGTERM, with nothing said of what was not done. */
  interrupted: 130,
  terminated: 143,
} as const;

export type ExitStatus = (typeof exitStatus)[keyof typeof exitStatus];

const byWeight: readonly ExitStatus[] = [
  exitStatus.agrees,
  exitStatus.undecided,
  exitStatus.found,
  exitStatus.unusable,
  exitStatus.defect,
];

/** Of many, the one that speaks for all: a discrepancy goes before what can't be said, an unusable input before both. */
export function worse(one: ExitStatus, other: ExitStatus): ExitStatus {
  return byWeight.indexOf(one) > byWeight.indexOf(other) ? one : other;
}
