/** A word that may stand where the cursor is. One that ends in = or : goes on with another piece. */
export interface Candidate {
  readonly text: string;
  /** A few words on what it is, for shells that show them. */
  readonly about?: string;
}

/** What is named in a circuit. */
export type NameKind = 'state' | 'node' | 'connector' | 'fault' | 'load' | 'part';
