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
} as const;

export type ExitStatus = (typeof exitStatus)[keyof typeof exitStatus];
