import type { Rule } from '../../circuit/circuit.js';
import type { ContactChart, ModuleChart } from '../../draw/draw.js';
import { clean } from '../clean.js';
import { showValue } from '../number.js';

/** `TIMER timer: at 2`. */
export function chartHeading({ switch: name, title, at }: ContactChart): string {
  const what = title === undefined ? clean(name) : `${clean(name)} ${clean(title)}`;
  return at === undefined ? what : `${what}: at ${clean(at)}`;
}

/** `heat 1-2`: a contact and its terminals, short where they are its switch's own. */
export function chartContact(
  { switch: name }: ContactChart,
  contact: ContactChart['contacts'][number],
): string {
  const short = contact.between.map((node) =>
    clean(node.startsWith(`${name}.`) ? node.slice(name.length + 1) : node),
  );
  return [clean(contact.name), short.join('-')].filter((each) => each !== '').join(' ');
}

/** Stretches of steps in which a contact is closed, ends not included. */
export function barsOf(closed: readonly boolean[]): readonly (readonly [number, number])[] {
  const bars: [number, number][] = [];
  for (const [index, is] of closed.entries()) {
    if (!is) continue;
    const last = bars.at(-1);
    if (last !== undefined && last[1] === index) last[1] = index + 1;
    else bars.push([index, index + 1]);
  }
  return bars;
}

/** What a module looks at, and what it does then, a line each. */
export function moduleLines({ module, title, inputs, outputs }: ModuleChart): readonly string[] {
  const pin = (node: string) => clean(node.startsWith(`${module}.`) ? node.slice(module.length + 1) : node);
  return [
    title === undefined ? clean(module) : `${clean(module)} ${clean(title)}`,
    ...inputs.map(
      ({ name, between: [a, b], atLeast }) =>
        `in: ${clean(name)} is there from ${showValue(atLeast, 'V')} on, ${pin(a)} to ${pin(b)}`,
    ),
    ...outputs.map(({ name, job, when }) => {
      const what =
        job === `${name} output closes` ? `${clean(name)} closes` : `${clean(name)}, ${clean(job)},`;
      return `out: ${what} with ${wordRule(when)}`;
    }),
  ];
}

function wordRule(rule: Rule): string {
  switch (rule.kind) {
    case 'input':
      return clean(rule.input);
    case 'not':
      return `not ${inner(rule.of)}`;
    case 'all':
      return rule.of.map(inner).join(' and ');
    case 'any':
      return rule.of.map(inner).join(' or ');
  }
}

function inner(rule: Rule): string {
  const one = rule.kind === 'input' || rule.kind === 'not' || rule.of.length === 1;
  return one ? wordRule(rule) : `(${wordRule(rule)})`;
}
