import { isAllowable, severities } from '../../answer/answer.js';
import { clean, isRule, type Rule, rulesJson, rulesTable } from '../../report/report.js';
import { nearestName } from '../../text/text.js';
import { deliver, type OutputOptions, refuse } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import type { World } from '../world.js';

/** What files are held to, or one rule of it with examples. */
export async function runRules(
  world: World,
  code: string | undefined,
  options: OutputOptions,
): Promise<ExitStatus> {
  const all = Object.entries(severities).flatMap(([own, severity]): Rule[] =>
    isRule(own) ? [{ code: own, severity, allowable: isAllowable(own) }] : [],
  );
  const rules = code === undefined ? all : all.filter((rule) => rule.code === code);
  if (code !== undefined && rules.length === 0) {
    const nearest = nearestName(
      code,
      all.map((rule) => rule.code),
    );
    const meant = nearest === undefined ? '' : ` Did you mean ${nearest}?`;
    return refuse(world, `there is no rule ${clean(code)}.${meant}`, 'loadside rules lists them all.');
  }
  await deliver(world, options, 'rules', [], {
    table: (style) => rulesTable(rules, style),
    json: () => rulesJson(rules),
  });
  return exitStatus.agrees;
}
