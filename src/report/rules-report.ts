import type { Severity } from '../text/text.js';
import { clean } from './clean.js';
import { fold } from './columns.js';
import { count } from './number.js';
import { paintFor } from './paint.js';
import { type RuleCode, ruleDocOf } from './rules/rule-docs.js';
import type { TerminalStyle } from './show-problem.js';
import { showTable } from './table.js';

/** A rule by its code: how much breaking it matters, and whether a remark in a file can let that pass. */
export interface Rule {
  readonly code: RuleCode;
  readonly severity: Severity;
  readonly allowable: boolean;
}

/** All rules in a line each, or one with its examples. */
export function rulesTable(rules: readonly Rule[], style: TerminalStyle): string {
  const [only, second] = rules;
  return only !== undefined && second === undefined ? ruleText(only, style) : ruleList(rules, style);
}

function ruleList(rules: readonly Rule[], style: TerminalStyle): string {
  const rows = rules.map(({ code, severity, allowable }) => [
    code,
    severity,
    allowable ? 'yes' : '',
    ruleDocOf(code).about,
  ]);
  const table = showTable(['rule', 'severity', 'allow', 'what it asks for'], rows, style, [3]);
  const foot = fold(
    `${count(rules.length, 'rule')}. With examples: loadside rules CODE. What can be allowed passes with a remark on its line or the one above:`,
    style,
  );
  return `${table}\n${foot}\n${piece(allowing('CODE'))}\n`;
}

function ruleText({ code, severity, allowable }: Rule, style: TerminalStyle): string {
  const paint = paintFor(style.level);
  const { about, bad, good, of = 'circuit' } = ruleDocOf(code);
  const may = allowable
    ? ['Where it does not count, say so on the line or the one above:', ...piece(allowing(code))]
    : ['No remark in a file can let it pass.'];
  const lines = [
    paint.strong(`${code} (${severity})`),
    fold(about, style),
    '',
    `Not so, in a ${of}:`,
    ...piece(bad),
    '',
    'But so:',
    ...piece(good),
    '',
    ...may,
  ];
  return `${lines.join('\n')}\n`;
}

function allowing(code: string): string {
  return `# loadside-allow ${code} -- reason`;
}

/** As it stands in a file: cut by nobody, so that it can be copied. */
function piece(text: string): string[] {
  return text.split('\n').map((line) => `  > ${clean(line)}`);
}

/** The `rules` answer of schemas/report.schema.json. */
export function rulesJson(rules: readonly Rule[]): Readonly<Record<string, unknown>> {
  return {
    rules: rules.map(({ code, severity, allowable }) => {
      const { about, bad, good, of = 'circuit' } = ruleDocOf(code);
      return { code, severity, allowable, about, of, bad, good };
    }),
  };
}
