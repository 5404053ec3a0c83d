/** The report floor: answers and problems to text and JSON. It reads, and never computes. */

export { benchHelp, wordSetting, wordStates } from './bench-report.js';
export { blankCsv, blankYaml } from './blank-readings.js';
export { cautions } from './cautions.js';
export { checkJson, checkTable } from './check-report.js';
export { asciiOnly, clean, cleanLine } from './clean.js';
export { diffJson } from './diff/diff-json.js';
export { diffMarkdown } from './diff/diff-markdown.js';
export { diffTable } from './diff/diff-table.js';
export { answerHead, jsonLine, showJson } from './envelope.js';
export { exerciseText, recordHead, recordText } from './exercise-text.js';
export { expectJson, expectTable } from './expect-report.js';
export { faultsJson } from './faults-json.js';
export { faultsTable } from './faults-report.js';
export { formatJson, formatTable, type LaidOut } from './format-report.js';
export { classCsv, classTable, type GradedRecord, gradesJson, gradeTable } from './grade-report.js';
export { nextJson, nextPaper, nextTable } from './next-report.js';
export { asHtml } from './paper/as-html.js';
export { asMarkdown } from './paper/as-markdown.js';
export { asText } from './paper/as-text.js';
export { heatMapSvg } from './picture/heat-map-svg.js';
export { ladderJson } from './picture/ladder-json.js';
export { ladderHtml, ladderSheets, ladderSvg } from './picture/ladder-svg.js';
export { ladderTerminal } from './picture/ladder-terminal.js';
export { pinsJson, pinsTable } from './pins-report.js';
export {
  actAnswer,
  actJson,
  actTable,
  answerTable,
  historyTable,
  keyCsv,
  openingText,
  type WrittenExercise,
  wordRefusal,
  wordUnsuitable,
  writtenJson,
  writtenTable,
} from './practice-report.js';
export { type RecordParts, recordJson, recordPaper } from './record-report.js';
export { isRule } from './rules/rule-docs.js';
export { type Rule, rulesJson, rulesTable } from './rules-report.js';
export { type SheetParts, sheetJson, sheetPaper } from './sheet-report.js';
export { problemFields, type RatedProblem, showProblems, type TerminalStyle } from './show-problem.js';
export { sweepJson, sweepTable } from './sweep-report.js';
export { traceJson, traceTable } from './trace-report.js';
export { validateGithub } from './validate/validate-github.js';
export { validateJson } from './validate/validate-json.js';
export { validateJunit } from './validate/validate-junit.js';
export { validateSarif } from './validate/validate-sarif.js';
export { validateTable } from './validate/validate-table.js';
export {
  type AllowedProblem,
  type ValidateAnswer,
  type ValidatedFile,
  type ValidateVerdict,
  verdictOf,
} from './validate/validated.js';
export { version } from './version.js';
export { complaintLines } from './word-complaint.js';
export type { Problem } from './word-problem.js';
