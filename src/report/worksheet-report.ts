import type { Circuit, State } from '../circuit/circuit.js';
import type { SheetAnswer, SheetReading, SheetSection, Worksheet } from '../diagnose/diagnose.js';
import { cautionFor, cautions } from './cautions.js';
import { clean } from './clean.js';
import { count } from './number.js';
import type { Block, Cell, Column, Table } from './paper/paper.js';
import { listed } from './phrases.js';
import { expectedJson, wordExpected } from './word-expected.js';
import { wordPart } from './word-fault.js';
import { wordChanges, wordState } from './word-state.js';

/** What is ticked off before a lead goes anywhere; prove, test, prove. */
export const isolationTicks: readonly string[] = [
  'Meter and leads: rated for the place, whole, right function and jack',
  'Unplugged, or isolated and locked; the plug stays in hand',
  'Meter proved on a known live source',
  'Proved dead: every conductor to every other and to earth',
  'Meter proved on the known source again',
  "Capacitors discharged by the maker's procedure, and measured",
];

/** The worksheet: hazards, what is known of the job, dead tests, live ones; what to do with it then. */
export function worksheetBlocks(answer: SheetAnswer, blankCommand: string | undefined): Block[] {
  const { circuit, dead, worksheets } = answer;
  return [
    { kind: 'paragraph', text: cautions[0] ?? '', role: 'danger' },
    { kind: 'paragraph', text: hazardLine(answer) },
    {
      kind: 'form',
      fields: [
        { label: 'Job no.' },
        { label: 'Date' },
        { label: 'Appliance' },
        { label: 'Meter, category' },
        { label: 'Complaint', room: 'row' },
        ...worksheets.flatMap(({ trace: { load, state } }) =>
          state === undefined
            ? []
            : [
                {
                  label: `${load.name} (${load.job}) in ${wordState(state)}, yes or no`,
                  room: 'row' as const,
                },
              ],
        ),
      ],
    },
    ...worksheets.flatMap(idleLine),
    { kind: 'heading', text: 'First: power off' },
    { kind: 'ticks', items: isolationTicks },
    ...tableOf(circuit, dead),
    { kind: 'heading', text: 'Then: power on' },
    { kind: 'paragraph', text: cautionFor({ live: true }), role: 'danger' },
    ...tableOf(
      circuit,
      worksheets.flatMap(({ sections }) => sections),
    ),
    ...(blankCommand === undefined ? [] : closing(blankCommand)),
  ];
}

function hazardLine({ circuit, hazardous, covers }: SheetAnswer): string {
  const all = circuit.hazards.map(clean);
  const hazards = all.length === 0 ? '' : `Hazards: ${listed(all, 'and')}. `;
  const never = hazardous.map(({ name, hazard }) => `${clean(name)} (${clean(hazard ?? '')})`);
  const keepOff = never.length === 0 ? '' : `Never probe ${listed(never, 'or')}. `;
  const opened = covers.map(({ name, minutes }) => `${clean(name)} (${count(minutes, 'minute')})`);
  return `${hazards}${keepOff}${opened.length === 0 ? '' : `To get at: ${opened.join(', ')}.`}`;
}

function idleLine({ trace: { load, state, works } }: Worksheet): Block[] {
  if (state !== undefined && works) return [];
  const why =
    state === undefined
      ? `No state makes ${load.name} (${load.job}) work, so there is nothing to read for it.`
      : `${load.name} (${load.job}) does not work in ${wordState(state)} in the sound appliance.`;
  return [{ kind: 'paragraph', text: clean(why) }];
}

function tableOf(circuit: Circuit, sections: readonly SheetSection[]): Table[] {
  const groups = sections.map((section) => ({
    caption: captionOf(circuit, section),
    rows: section.readings.map((reading) => rowOf(circuit, reading)),
  }));
  return groups.length === 0 ? [] : [{ kind: 'table', columns, groups }];
}

function wordPassed({ passed, unheld }: SheetSection): string {
  const names = (nodes: SheetSection['passed']) => nodes.map(({ name }) => name).join(', ');
  const out = passed.length === 0 ? '' : ` Not within reach: ${names(passed)}.`;
  const alone =
    unheld.length === 0 ? '' : ` No place within reach for the black lead, to read ${names(unheld)} against.`;
  return `${out}${alone}`;
}

const columns: readonly Column[] = [
  { head: '#', width: 4 },
  { head: 'red on', width: 11 },
  { head: 'black on', width: 11 },
  { head: 'reached through', width: 27, wraps: true },
  { head: 'behind', width: 16, wraps: true },
  { head: 'should read', width: 17 },
  { head: 'reading', width: 14 },
];

/** Where one is, in which state, with the black lead where. */
function captionOf(circuit: Circuit, section: SheetSection): string {
  const { what, state, stretch, readings, load } = section;
  const set = setState(state);
  const passed = wordPassed(section);
  switch (what) {
    case 'dead':
      return clean(`Ohms, ${set}.${passed}`);
    case 'supply':
      return clean(`The supply, ${set}: every other band narrows to what it reads.${passed}`);
    case 'across':
      return clean(
        `Across ${load}, at the nearest places within reach${wordClamp(readings)}, ${set}.${passed}`,
      );
    default: {
      const from = stretch === undefined ? '' : `, from ${stretch.path.supply} ${stretch.path.leg}`;
      const which = what === 'signal' ? wordSignal(stretch) : `${what === 'line' ? 'Line' : 'Neutral'} side`;
      const of = what === 'signal' ? '' : ` of ${stretch?.serves ?? load}`;
      return clean(`${which}${of}${from}, ${set}.${wordBlack(circuit, readings)}${passed}`);
    }
  }
}

function wordClamp(readings: readonly SheetReading[]): string {
  return readings.some(({ probe }) => probe.where.kind === 'around') ? ', and its current' : '';
}

function wordSignal(stretch: SheetSection['stretch']): string {
  const { serves = '', input = '' } = stretch ?? {};
  return input === 'coil' ? `Coil of ${serves}` : `Signal ${input} for ${serves}`;
}

/** Where all readings of a stretch have it on one place. */
function wordBlack({ nodes }: Circuit, readings: readonly SheetReading[]): string {
  const blacks = [
    ...new Set(readings.flatMap(({ probe: { where } }) => (where.kind === 'between' ? [where.black] : []))),
  ];
  const [only, second] = blacks;
  return only === undefined || second !== undefined
    ? ''
    : ` Black lead on ${nodes[only]?.name ?? ''}: leave it there.`;
}

/** `speed-1 (B1 = in)`: its name, and what to set. */
function setState(state: State): string {
  const [short, long] = [wordState(state), wordChanges(state.changes)];
  return short === long ? short : `${short} (${long})`;
}

function rowOf(circuit: Circuit, { index, probe, expected, through }: SheetReading): readonly Cell[] {
  const { where, unit, current } = probe;
  if (where.kind === 'around') {
    const wires = through.map((part) => `around ${wordPart(circuit, part)}`).join(', ');
    return [
      String(index),
      'clamp',
      '',
      wires,
      behindWire(circuit, where.branch),
      wordExpected(expected),
      { box: unit },
    ];
  }
  const [red, black] = [circuit.nodes[where.red], circuit.nodes[where.black]];
  return [
    String(index),
    red?.name ?? '',
    black?.name ?? '',
    through.length > 0 ? through.map((part) => wordPart(circuit, part)).join(', ') : wordToMetal(expected),
    red?.behind ?? '',
    wordExpected(expected),
    { box: current === undefined ? unit : `${unit} ${current}` },
  ];
}

/** Behind what the ends of a wire are, the one that takes less to get at first. */
function behindWire({ branches, nodes }: Circuit, wire: number): string {
  const { from = 0, to = 0 } = branches[wire] ?? {};
  const ends = [nodes[from], nodes[to]].filter((node) => node?.reachable === true);
  ends.sort((a, b) => (a?.accessMinutes ?? 0) - (b?.accessMinutes ?? 0));
  return [...new Set(ends.flatMap((node) => node?.behind ?? []))].join(' or ');
}

function wordToMetal({ kind }: SheetReading['expected']): string {
  return kind === 'floating' ? 'nothing may conduct to the metal' : 'protective earth';
}

function closing(blankCommand: string): Block[] {
  return [
    {
      kind: 'paragraph',
      text: `The same rows as a readings file: ${blankCommand}. Fill it in from this sheet, leave blank what was not read, and run loadside check on it.`,
      role: 'small',
    },
  ];
}

/** The `worksheet` of schemas/report.schema.json. */
export function worksheetJson(answer: SheetAnswer): Readonly<Record<string, unknown>> {
  const { circuit, dead, worksheets, covers, hazardous } = answer;
  return {
    loads: worksheets.map(({ trace: { load, state, works } }) => ({
      load: load.name,
      job: load.job,
      in: state === undefined ? null : state.changes,
      works,
    })),
    sections: [...dead, ...worksheets.flatMap(({ sections }) => sections)].map((section) =>
      sectionJson(circuit, section),
    ),
    covers,
    neverProbed: hazardous.map(({ name, hazard }) => ({ node: name, hazard })),
  };
}

function sectionJson(
  { nodes, branches }: Circuit,
  { what, load, state, stretch, readings, passed, unheld }: SheetSection,
): Readonly<Record<string, unknown>> {
  return {
    what,
    load: load ?? null,
    in: state.changes,
    serves: stretch?.serves ?? null,
    input: stretch?.input ?? null,
    from: stretch === undefined ? null : { supply: stretch.path.supply, leg: stretch.path.leg },
    readings: readings.map(({ index, probe: { where, unit, current }, expected, through }) => ({
      index,
      ...(where.kind === 'around'
        ? { on: branches[where.branch]?.name }
        : { red: nodes[where.red]?.name, black: nodes[where.black]?.name }),
      function: current === undefined ? unit : `${unit} ${current}`,
      expected: expected.kind === 'driven' || expected.kind === 'floating' ? expectedJson(expected) : null,
      through,
    })),
    outOfReach: passed.map(({ name }) => name),
    blackOutOfReach: unheld.map(({ name }) => name),
  };
}
