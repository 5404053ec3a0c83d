import type { CheckReport, Json } from '../answers.js';
import type { CheckAnswer, Clearance, Proven, Witness } from '../diagnose/diagnose.js';
import { clean } from './clean.js';
import { count } from './number.js';
import { listed } from './phrases.js';
import { wordShown } from './word-expected.js';
import { faultJson, wordMode, wordPart } from './word-fault.js';

/** Faults of a part that a line names; the rest is told by what rules it out. */
const mostModes = 2;

/** One line for each part next to the bracket: what shows that it is not the cause. */
export function clearedLines(answer: CheckAnswer): string[] {
  const { circuit, cleared } = answer;
  return cleared.map(({ part, by, left }) => {
    const [first, ...rest] = by;
    if (first === undefined) return '';
    const whole = left.length === 0;
    const named = distinct(first.faults.map((fault) => wordMode(circuit, fault)));
    const told = named.slice(0, mostModes);
    const others = [...(named.length > told.length ? [first] : []), ...rest];
    const more =
      others.length === 0 ? '' : `; ${wordOthers(others, first)} out ${whole ? 'the rest' : 'more'}`;
    const open = distinct(left.map((fault) => wordMode(circuit, fault)));
    const stays = whole ? '' : ` Left: ${clean(part)} ${listed(open, 'or')}.`;
    const result = !whole
      ? 'is partly cleared'
      : isGood(answer, first.witness)
        ? 'is cleared'
        : 'is not the cause';
    return `${wordPart(circuit, part)} ${result}: ${wordWitness(first.witness)} (${shown(answer, first.witness)}) could not be so if ${clean(part)} ${listed(told, 'or')}${more}.${stays}`;
  });
}

/** The same in a few lines: which parts, and by which observations; what is left of a part stands in the long form. */
export function clearedInShort(answer: CheckAnswer): string[] {
  const { whole, amiss, connection, partly } = sorted(answer);
  const names = (list: readonly Clearance[]) =>
    someOf(
      list.map(({ part }) => wordPart(answer.circuit, part)),
      mostShort,
    );
  const byWhat = (list: readonly Clearance[]) => {
    const groups = new Map<string, Clearance[]>();
    for (const each of list) {
      const numbers = wordNumbers(each.by.map(({ witness }) => witness));
      groups.set(numbers, [...(groups.get(numbers) ?? []), each]);
    }
    return [...groups].map(([numbers, each]) => `${names(each)} by ${numbers}`).join('; ');
  };
  const lines = [
    ...(whole.length === 0 ? [] : [`Cleared: ${byWhat(whole)}.`]),
    ...(amiss.length === 0 ? [] : [`Not the cause, but may be bad as well: ${byWhat(amiss)}.`]),
    ...(connection.length === 0 ? [] : [`Cleared but for a bad connection: ${names(connection)}.`]),
    ...(partly.length === 0 ? [] : [`Partly cleared: ${names(partly)}.`]),
  ];
  return lines.map((line, index) => (index < lines.length - 1 ? line : `${line} (--verbose: what shows it)`));
}

/** Parts a short line lists. */
const mostShort = 5;

/** Cleared; cleared by what is amiss itself; cleared of all but a bad connection, which is left of most parts; the rest. */
function sorted(
  answer: CheckAnswer,
): Readonly<Record<'whole' | 'amiss' | 'connection' | 'partly', Clearance[]>> {
  const lists: ReturnType<typeof sorted> = { whole: [], amiss: [], connection: [], partly: [] };
  for (const each of answer.cleared) {
    const [first] = each.by;
    if (first === undefined) continue;
    if (each.left.length === 0) lists[isGood(answer, first.witness) ? 'whole' : 'amiss'].push(each);
    else
      lists[each.left.every(({ mode }) => mode === 'high-resistance') ? 'connection' : 'partly'].push(each);
  }
  return lists;
}

/** `readings 4, 5 and 7 and symptom 1`. */
function wordNumbers(witnesses: readonly Witness[]): string {
  return listed(
    (['reading', 'symptom'] as const).flatMap((kind) => {
      const numbers = witnesses
        .filter((each) => each.kind === kind)
        .map(({ index }) => index)
        .sort((one, other) => one - other)
        .map(String);
      return numbers.length === 0
        ? []
        : [`${kind}${numbers.length > 1 ? 's' : ''} ${listed(numbers, 'and')}`];
    }),
    'and',
  );
}

function wordOthers(others: Clearance['by'], first: Clearance['by'][number]): string {
  const further = others.filter((each) => each !== first).map(({ witness }) => witness);
  const names = [
    ...(others.includes(first) ? ['it'] : []),
    ...(further.length === 0 ? [] : [wordNumbers(further)]),
  ];
  return `${listed(names, 'and')} ${others.length === 1 ? 'rules' : 'rule'}`;
}

function distinct(texts: readonly string[]): string[] {
  return [...new Set(texts)];
}

/** What differs from the sound circuit shows that a part is not what is wrong, and no more: it may be bad as well. */
function isGood({ readings, symptoms }: CheckAnswer, { kind, index }: Witness): boolean {
  const evidence =
    kind === 'reading'
      ? readings.find(({ reading }) => reading.index === index)
      : symptoms.find(({ symptom }) => symptom.index === index);
  return evidence?.verdict === 'agrees';
}

function wordWitness({ kind, index }: Witness): string {
  return `${kind} ${index}`;
}

/** `CTL.L to CTL.N 121.2 V`, `LAMP works`. */
function shown({ circuit, readings, symptoms }: CheckAnswer, { kind, index }: Witness): string {
  if (kind === 'symptom') {
    const symptom = symptoms.find((each) => each.symptom.index === index)?.symptom;
    return symptom === undefined ? '' : `${clean(symptom.load.name)} ${symptom.works ? 'works' : 'idle'}`;
  }
  const reading = readings.find((each) => each.reading.index === index)?.reading;
  if (reading === undefined) return '';
  const { where } = reading;
  const name = (node: number) => clean(circuit.nodes[node]?.name ?? '');
  const place =
    where.kind === 'between'
      ? `${name(where.red)} to ${name(where.black)}`
      : `clamp ${clean(circuit.branches[where.branch]?.name ?? '')}`;
  return `${place} ${wordShown(reading)}`;
}

/** Names a line lists; of more it gives the number. */
const mostNames = 8;

function some(names: readonly string[]): string {
  return someOf(names.map(clean), mostNames);
}

/** The first few of clean names, and how many more there are. */
export function someOf(names: readonly string[], most: number): string {
  const rest = names.length - most;
  const told = names.slice(0, most).join(', ');
  return rest > 0 ? `${told} and ${rest} more` : told;
}

/** Where all agrees: what that proves, and what is left unproven. */
export function provenLines({ loads, notProven, notRead, cleared, notCleared }: Proven): string[] {
  const worded = (list: Proven['loads']) =>
    list.map(({ name, job }) => `${clean(name)} (${clean(job)})`).join(', ');
  const parts = cleared.length + notCleared.length;
  const places = notRead.map(({ name }) => clean(name));
  const names = places.length <= mostNames ? `: ${places.join(', ')}` : '';
  return [
    ...(loads.length === 0 ? [] : [`Proven to work: ${worded(loads)}.`]),
    ...(notProven.length === 0 ? [] : [`Not proven: ${worded(notProven)}.`]),
    places.length === 0
      ? 'Every test point was read.'
      : `${count(places.length, 'test point')} not read${names}.`,
    ...(parts === 0
      ? []
      : [
          `${cleared.length} of ${count(parts, 'part')} cleared: each fault of theirs (a bad connection: one that would stop a load) contradicts a reading or symptom.`,
          ...(notCleared.length === 0 ? [] : [`Not cleared: ${some(notCleared)}.`]),
        ]),
  ];
}

/** The keys `cleared`, `partlyCleared`, `proven`, `notProven` and `notRead` of schemas/report.schema.json. */
export function clearedJson({
  cleared,
  proven,
}: CheckAnswer): Pick<
  CheckReport,
  'cleared' | 'partlyCleared' | 'proven' | 'notProven' | 'notCleared' | 'notRead'
> {
  const all = proven?.cleared ?? cleared;
  const loads = (list: Proven['loads'] | undefined) =>
    list === undefined ? null : list.map(({ name, job }) => ({ load: name, job }));
  return {
    cleared: all.filter(({ left }) => left.length === 0).map(byJson),
    partlyCleared: all
      .filter(({ left }) => left.length > 0)
      .map((each) => ({ ...byJson(each), left: each.left.map(faultJson) })),
    proven: loads(proven?.loads),
    notProven: loads(proven?.notProven),
    notCleared: proven?.notCleared ?? null,
    notRead: proven === undefined ? null : proven.notRead.map(({ name }) => name),
  };
}

function byJson({ part, by }: Clearance): { part: string; by: Json.Cleared['by'] } {
  return { part, by: by.map(({ witness }) => ({ [witness.kind]: witness.index })) };
}
