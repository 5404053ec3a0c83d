/**
 * The most a file may ask of this program. Bytes, nesting, keys, text and problems are our own choice, far
 * above what an appliance needs and far below what would harm the run; each is reported by name.
 */
export const limits = {
  /** Bytes of one circuit file: 1 MiB. */
  circuitBytes: 1_048_576,
  /** Bytes of one readings file, YAML or CSV: 8 MiB. */
  readingsBytes: 8_388_608,
  /** Pieces one circuit includes, those of its pieces counted; bytes of all of them and itself are circuitBytes. */
  includes: 256,
  /** Files that include one another, the circuit not counted. */
  includeDepth: 16,
  /** Bytes of one exercise, which holds a circuit: 2 MiB. */
  exerciseBytes: 2_097_152,
  /** Bytes of one record of practice: 8 MiB. */
  recordBytes: 8_388_608,
  /** Bytes of one line of a batch, which may hold readings and circuit both: 16 MiB. */
  jobBytes: 16_777_216,
  /** Maps and lists inside one another; a circuit needs fewer than 12. */
  nesting: 64,
  keysPerMap: 5_000,
  itemsPerList: 100_000,
  /** UTF-16 units of one text or key. */
  textLength: 4_096,
  /** Records of a CSV file, the header not counted. */
  csvRows: 100_000,
  /** Problems reported for one file; the rest is counted. */
  problems: 100,
} as const;

/** What `readYaml` holds a text to. */
export interface YamlLimits {
  /** UTF-16 units of the whole text, which are never more than its bytes. */
  readonly bytes: number;
  readonly nesting: number;
  readonly keysPerMap: number;
  readonly itemsPerList: number;
  readonly textLength: number;
}
