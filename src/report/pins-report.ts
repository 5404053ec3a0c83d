import type { Pin, PinsAnswer, Requirement } from '../diagnose/diagnose.js';
import { clean } from './clean.js';
import { fold } from './columns.js';
import { count } from './number.js';
import { paintFor } from './paint.js';
import type { TerminalStyle } from './show-problem.js';
import { showTable } from './table.js';

/** Which pin belongs to which switch position, by the wiring, beside what the pin map says. */
export function pinsTable(answer: PinsAnswer, style: TerminalStyle): string {
  const paint = paintFor(style.level);
  const wrong = answer.pins.filter((pin) => pin.agrees === false).length;
  const head = paint[wrong > 0 ? 'bad' : 'good'](fold(pinsHeadline(answer), style));
  if (answer.pins.length === 0) return `${head}\n`;
  return `${head}\n\n${showTable(pinColumns, pinRows(answer), style, [2, 3])}\n`;
}

export const pinColumns: readonly string[] = ['pin', 'input', 'live with, by the wiring', 'pin map says', ''];

export function pinRows({ pins }: PinsAnswer): string[][] {
  return pins.map((pin) => [
    clean(pin.node),
    clean(pin.input ?? ''),
    wordLive(pin),
    pin.declared === undefined ? '' : wordDeclared(pin.declared),
    pin.agrees === undefined ? '' : pin.agrees ? 'agrees' : 'CONTRADICTS',
  ]);
}

export function pinsHeadline({ circuit, part, pins, states, complete }: PinsAnswer): string {
  const wrong = pins.filter((pin) => pin.agrees === false).length;
  const title = clean(circuit.title);
  const looked = `${complete ? 'all' : 'the first'} ${count(states, 'state')}`;
  if (pins.length === 0) {
    const where = part === undefined ? 'this circuit' : clean(part);
    return `${title}: ${where} has no control inputs, and no pin map speaks of it.`;
  }
  if (wrong > 0)
    return `${title}: the wiring contradicts the pin map at ${count(wrong, 'pin')} (${looked} solved).`;
  const mapped = pins.filter((pin) => pin.agrees === true).length;
  const agree =
    mapped === 0 ? 'no pin map to hold it against' : `the pin map agrees at ${count(mapped, 'pin')}`;
  return `${title}: ${count(pins.length, 'pin')} derived from the wiring, ${agree} (${looked} solved).`;
}

function wordLive({ live, requires }: Pin): string {
  if (live !== 'sometimes') return live === 'never' ? 'no state' : 'every state';
  const words = wordRequirement(requires);
  return words === '' ? 'some states, no one position needed' : words;
}

function wordRequirement(requires: Requirement): string {
  return Object.entries(requires)
    .map(([control, values]) => `${clean(control)} = ${values.map(clean).join(' or ')}`)
    .join(', ');
}

function wordDeclared({ label, switch: name, position }: NonNullable<Pin['declared']>): string {
  const where = `${clean(name)} = ${clean(position)}`;
  return label === undefined ? where : `${where} (${clean(label)})`;
}

/** The `pins` answer of schemas/report.schema.json. */
export function pinsJson({ pins, states, complete }: PinsAnswer): Readonly<Record<string, unknown>> {
  return {
    pins: pins.map(({ node, part, input, live, requires, declared, agrees }) => ({
      pin: node,
      module: part,
      ...(input === undefined ? {} : { input }),
      live,
      requires,
      declared: declared ?? null,
      agrees: agrees ?? null,
    })),
    states,
    complete,
  };
}
