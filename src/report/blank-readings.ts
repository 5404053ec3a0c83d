import type { Circuit, State, StateChanges } from '../circuit/circuit.js';
import type { SheetAnswer, SheetReading, SheetSection } from '../diagnose/diagnose.js';
import { clean } from './clean.js';
import { quoted } from './envelope.js';

/** What the comment at the top of a readings file says of its use. */
function remarks(circuit: Circuit, example: string, circuitOption: string): string[] {
  return [
    `Readings of: ${clean(circuit.title)}`,
    `How to use it: write what the meter showed behind reads, with its unit (${example}).`,
    'Leave blank what was not read, keep the order in which it was taken; rows may go and be added.',
    `Then: loadside check THIS-FILE${circuitOption} tells what is wrong, loadside next what to read now.`,
    'Rows with the power off come first: isolate and prove dead before ohms. Live ones only if trained and allowed to.',
  ];
}

/** A readings file to fill in, as YAML. `circuitPath` is relative to where it will lie; without it `--circuit` is needed. */
export function blankYaml(answer: SheetAnswer, circuitPath: string | undefined): string {
  const { circuit, dead, worksheets } = answer;
  const option = circuitPath === undefined ? ' --circuit CIRCUIT' : '';
  const symptoms = worksheets.flatMap(({ trace: { load, state } }) =>
    state === undefined
      ? []
      : [`  - { in: ${stateText(state)}, load: ${load.name}, works: } # ${clean(load.job)}: yes or no`],
  );
  const sections = [...dead, ...worksheets.flatMap(({ sections: own }) => own)];
  const readings = sections.flatMap((section) => [
    ...(section.readings.length === 0 ? [] : [`  # ${wordSection(section)}`]),
    ...section.readings.map((reading) => `  - ${rowText(circuit, reading)}`),
  ]);
  const lines = [
    ...remarks(circuit, example(answer), option).map((line) => `# ${line}`),
    'loadside: readings/1',
    ...(circuitPath === undefined ? [] : [`circuit: ${yamlText(circuitPath)}`]),
    'meter: { input: high-impedance, accuracy: { percent: 1, counts: 3, resolution: 0.1 } }',
    ...(symptoms.length === 0 ? [] : ['symptoms:', ...symptoms]),
    ...(readings.length === 0 ? ['readings: []'] : ['readings:', ...readings]),
  ];
  return `${lines.join('\n')}\n`;
}

function example({ circuit }: SheetAnswer): string {
  const [supply] = circuit.supplies.values();
  return `${supply?.stated ?? 0} V, 23.4 ohm, OL for beyond range`;
}

function rowText(circuit: Circuit, { state, probe }: SheetReading): string {
  const { red, black, on } = placesOf(circuit, probe);
  const where = on === '' ? `red: ${red}, black: ${black}` : `on: ${yamlText(on)}`;
  return `{ in: ${stateText(state)}, ${where}, reads: }`;
}

/** Names of where the leads go, or of the wire that a clamp goes around. */
function placesOf(
  { nodes, branches }: Circuit,
  { where }: SheetReading['probe'],
): Record<'red' | 'black' | 'on', string> {
  const node = (index: number) => nodes[index]?.name ?? '';
  return where.kind === 'around'
    ? { red: '', black: '', on: branches[where.branch]?.name ?? '' }
    : { red: node(where.red), black: node(where.black), on: '' };
}

const sectionWords: Readonly<Record<SheetSection['what'], string>> = {
  dead: 'power off, ohms',
  supply: 'the supply',
  across: 'across the load',
  line: 'line side',
  neutral: 'neutral side',
  signal: 'signal',
};

function wordSection({ what, stretch }: SheetSection): string {
  const { input, serves } = stretch ?? {};
  const of = serves === undefined ? '' : ` ${what === 'signal' ? `${input ?? ''} for` : 'of'} ${serves}`;
  return clean(`${sectionWords[what]}${of}`);
}

/** A state as a file writes it, on one line: its name, what differs from rest, or the name and what goes beyond it. */
function stateText({ name, on, changes }: State): string {
  if (name !== undefined) return yamlText(name);
  if (on !== undefined) return `[${yamlText(on.name)}, ${mapText(on.beyond)}]`;
  return mapText(changes);
}

function mapText(changes: StateChanges): string {
  const entries = Object.entries(changes).map(([key, value]) => `${yamlText(key)}: ${valueText(value)}`);
  return entries.length === 0 ? '{}' : `{ ${entries.join(', ')} }`;
}

function valueText(value: StateChanges[string]): string {
  if (typeof value === 'number') return String(value);
  if (typeof value === 'string') return yamlText(value);
  return `[${value.map((each) => (typeof each === 'string' ? yamlText(each) : mapText(each))).join(', ')}]`;
}

/** Bare where it can be nothing but text, else in double quotes as JSON has them, which YAML 1.2 reads alike. */
function yamlText(text: string): string {
  return /^[A-Za-z][\w./+-]*$/.test(text) && !/^(?:null|true|false)$/i.test(text) ? text : quoted(text);
}

/** The same as CSV, for a spreadsheet; `inCell` writes a state as its `in` cell, undefined where that can't be. */
export function blankCsv(
  answer: SheetAnswer,
  inCell: (state: State) => string | undefined,
): { readonly text: string } | { readonly state: State } {
  const { circuit, dead, worksheets } = answer;
  const readings = [...dead, ...worksheets.flatMap(({ sections }) => sections)].flatMap(
    (section) => section.readings,
  );
  const rows: string[] = [];
  for (const { state, probe } of readings) {
    const cell = inCell(state);
    if (cell === undefined) return { state };
    const { red, black, on } = placesOf(circuit, probe);
    rows.push([cell, red, black, on, '', '', ''].map(csvCell).join(','));
  }
  const head = remarks(circuit, example(answer), ' --circuit CIRCUIT').map((line) => `# ${line}`);
  return { text: `${[...head, 'in,red,black,on,reads,input,note', ...rows].join('\n')}\n` };
}

/** In quotes where it holds what would end it, behind an apostrophe where a spreadsheet would compute it. */
function csvCell(text: string): string {
  const guarded = /^[=+\-@]/.test(text) ? `'${text}` : text;
  return /[",\r\n;]/.test(guarded) ? `"${guarded.replaceAll('"', '""')}"` : guarded;
}
