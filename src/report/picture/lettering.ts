import type { Circuit } from '../../circuit/circuit.js';
import {
  contactCharts,
  type Element,
  foldPoint,
  isSwitched,
  type Ladder,
  type Lettering,
  type Pole,
  type Rung,
  type Scene,
} from '../../draw/draw.js';
import type { Expected } from '../../meter/meter.js';
import { clean } from '../clean.js';
import { showValue } from '../number.js';

/** Begins the comment on a load that works. */
export const onMark = '\u25CF';

/** Notes that a job adds at places: readings, and where the leads go next. */
export interface JobNotes {
  readonly node: (node: number) => readonly string[];
  /** By branch. */
  readonly wire: (branch: number) => readonly string[];
}

/** Letters of terminals after IEC 60445; other legs keep the file's name. */
const poleMarks: Readonly<Record<string, string>> = {
  line: 'L',
  line1: 'L1',
  line2: 'L2',
  line3: 'L3',
  neutral: 'N',
  earth: 'PE',
  positive: '+',
  negative: '\u2212',
};

export function markOf(circuit: Circuit, { source, leg, node }: Pole): string {
  const mark = circuit.supplies.has(source) ? poleMarks[leg] : undefined;
  return mark ?? clean(circuit.nodes[node]?.name ?? leg);
}

/** What is written on a ladder. Numbers of rungs run through all sections. */
export function letteringFor(ladder: Ladder, scene: Scene, job: JobNotes): Lettering {
  const { circuit } = ladder;
  const numbers = rungNumbers(ladder);
  const owned = ownedNodes(ladder);
  const charted = new Set(contactCharts(circuit, undefined).map((chart) => chart.switch));
  return {
    name: (element) => nameOf(circuit, element),
    notes: (element) => [
      ...notesOf(ladder, scene, numbers, charted, element),
      ...job.wire(element.branch ?? -1),
    ],
    terminal: (node, element) => terminalAt(circuit, owned, node, element),
    node: (node) => [...wordNode(circuit, scene, node), ...job.node(node)],
    pole: (pole) => markOf(circuit, pole),
    elsewhere: (node) => `to ${clean(circuit.nodes[node]?.name ?? '')}${rungWith(ladder, numbers, node)}`,
    place: (node) => placeName(ladder, node),
    comment: (elements) => commentsOn(ladder, scene, numbers, elements).flat(),
    number: (laid) => String(numbers.get(laid.rung) ?? ''),
  };
}

/** Rows are counted through all sections; two feeds in one row have one number. */
export function rungNumbers({ sections }: Ladder): ReadonlyMap<Rung, number> {
  const rows = sections.flatMap((section) => section.rows);
  return new Map(rows.flatMap((row, index) => row.map(({ rung }) => [rung, index + 1] as const)));
}

/** A part and what it is of it; of a wire the colour. */
function nameOf({ parts }: Circuit, { part, role, names }: Element): string {
  if (role === 'wire') return clean(parts.get(part)?.colour ?? '').replace('/', `/${foldPoint}`);
  const [first] = names;
  return role === 'coil' || first === undefined ? clean(part) : `${clean(part)}${foldPoint}${clean(first)}`;
}

/** The parts whose terminals are named after them, by node. */
function ownedNodes({ circuit, elements }: Ladder): ReadonlySet<number> {
  return new Set(
    elements.flatMap((element) => [element.from, element.to].filter((node) => isOwn(circuit, element, node))),
  );
}

function isOwn({ nodes }: Circuit, { part, role }: Element, node: number): boolean {
  return role !== 'wire' && (role === 'pin' || nodes[node]?.name.startsWith(`${part}.`) === true);
}

/** `2` at the part that has it in its name; in full where no part does, or at a plug. */
function terminalAt(
  circuit: Circuit,
  owned: ReadonlySet<number>,
  node: number,
  element: Element,
): string | undefined {
  const name = circuit.nodes[node]?.name ?? '';
  if (element.role !== 'pin' && isOwn(circuit, element, node))
    return clean(name.slice(element.part.length + 1));
  if (element.role === 'pin' || element.role === 'wire' || !owned.has(node)) return clean(name);
  return undefined;
}

/** `120 V`, `floating`, or that it is never probed. */
function wordNode({ nodes }: Circuit, scene: Scene, node: number): readonly string[] {
  if (nodes[node]?.hazard !== undefined) return ['no', 'probe'];
  const words = wordVolts(scene.expected(node));
  return words === '' ? [] : [words];
}

/** What a place reads against its section's reference; nothing where nothing is known. */
export function wordVolts(expected: Expected | undefined): string {
  if (expected === undefined) return '';
  return expected.kind === 'floating' ? 'floating' : roughVolts(expected.nominal);
}

/** Volts to three figures: what comes of the supply's spread is wider anyway. */
function roughVolts(volts: number): string {
  if (Math.abs(volts) < 0.05) return '0 V';
  return Math.abs(volts) >= 100 ? `${Math.round(volts)} V` : showValue(volts, 'V');
}

/** Amps to three figures. */
function roughAmps(amps: number): string {
  return `${amps < 10 ? amps.toFixed(2) : amps.toFixed(1)} A`;
}

function notesOf(
  ladder: Ladder,
  scene: Scene,
  numbers: ReadonlyMap<Rung, number>,
  charted: ReadonlySet<string>,
  element: Element,
): readonly string[] {
  const { circuit } = ladder;
  const branch = circuit.branches[element.branch ?? -1];
  const gate = branch?.gate;
  if (element.role === 'input') return element.names.slice(1).map(clean);
  if (gate?.kind === 'threshold') {
    const unit = circuit.conditions.get(gate.condition)?.unit ?? '';
    const { opensAbove, closesAbove } = gate.limits;
    const limit =
      opensAbove === undefined ? `closes >${foldPoint}${closesAbove}` : `opens >${foldPoint}${opensAbove}`;
    return [`${limit} ${clean(unit)}`];
  }
  if (gate?.kind === 'actuator') {
    const actuator = circuit.actuators[gate.actuator];
    if (actuator === undefined || actuator.kind === 'output') return [];
    const rung = rungOf(ladder, numbers, ({ branch: at }) => at === actuator.branch);
    return [`${actuator.kind === 'relay' ? 'coil' : clean(actuator.name)}${foldPoint}in rung ${rung}`];
  }
  if (gate?.kind === 'value' || gate?.kind === 'position') {
    const at = gate.kind === 'value' ? gate.condition : gate.switch;
    const moved = scene.outcome !== 'not-asked' && at in scene.state.changes && !charted.has(at);
    const set = clean(String(scene.state.settings.get(at)));
    return moved ? [gate.kind === 'value' ? `${clean(at)}${foldPoint}${set}` : `at ${set}`] : [];
  }
  const amps = scene.loads.get(element.index)?.amps;
  return amps === undefined || amps < 0.005 ? [] : [roughAmps(amps)];
}

function rungOf(
  { sections }: Ladder,
  numbers: ReadonlyMap<Rung, number>,
  is: (element: Element) => boolean,
): string {
  for (const { rung } of sections.flatMap(({ rows }) => rows.flat()))
    if (rung.elements.some(is)) return String(numbers.get(rung) ?? '');
  return '';
}

/** A place by its name; a rail that is always at its leg's voltage has its letter too. */
function placeName({ circuit, sections }: Ladder, node: number): string {
  const name = clean(circuit.nodes[node]?.name ?? '');
  const pole = sections.flatMap(({ poles }) => poles).find(({ rail }) => rail === node);
  const mark = pole === undefined || isSwitched(pole) ? name : markOf(circuit, pole);
  return mark === name ? name : `${mark} ${name}`;
}

/** The rung where a place stands that another rung only names. */
function rungWith({ sections }: Ladder, numbers: ReadonlyMap<Rung, number>, node: number): string {
  const rung = sections
    .flatMap(({ rows }) => rows.flat())
    .map((each) => each.rung)
    .find(({ nodes, starts, ends }) => {
      const joined = nodes.slice(starts === 'named' ? 1 : 0, ends === 'named' ? -1 : undefined);
      return joined.includes(node);
    });
  return rung === undefined ? '' : `, rung ${numbers.get(rung) ?? ''}`;
}

/** The same as the comments, a load each, with the numbers of their rungs. */
export function loadLines(
  ladder: Ladder,
  scene: Scene,
): readonly { readonly rung: number; readonly words: readonly string[] }[] {
  const numbers = rungNumbers(ladder);
  return [...numbers].flatMap(([rung, number]) =>
    commentsOn(ladder, scene, numbers, rung.elements).map((words) => ({ rung: number, words })),
  );
}

/** What each load of a rung is, and what it does in this state; where a coil's contacts are. */
function commentsOn(
  ladder: Ladder,
  scene: Scene,
  numbers: ReadonlyMap<Rung, number>,
  elements: readonly Element[],
): readonly (readonly string[])[] {
  const { circuit } = ladder;
  return elements.flatMap((element) => {
    if (element.role !== 'load' && element.role !== 'coil' && element.role !== 'draw') return [];
    const title = circuit.parts.get(element.part)?.title;
    const lines = [title === undefined ? clean(element.part) : `${clean(element.part)} ${clean(title)}`];
    if (element.role === 'coil') {
      const contacts = ladder.elements.filter(
        (each) => each.part === element.part && each.role === 'contact',
      );
      const rungs = new Set(
        contacts.map(({ index }) => rungOf(ladder, numbers, (each) => each.index === index)),
      );
      const places = [...rungs].filter((each) => each !== '');
      if (places.length > 0) lines.push(`contacts: rung ${places.join(', ')}`);
    }
    const { works, job = '' } = scene.loads.get(element.index) ?? {};
    if (works === 'yes') lines.push(`${onMark} ON: ${clean(job)}`);
    if (works === 'marginal') lines.push(`\u25D0 on the limit: ${clean(job)}`);
    if (works === 'no') lines.push('\u25CB off');
    return [lines];
  });
}
