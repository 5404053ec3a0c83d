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

function wordOthers(others: Clearance['by'], first: Clearance['by'][number]): string {
  const numbers = (wanted: Witness['kind']) => {
    const found = others.filter((each) => each !== first && each.witness.kind === wanted);
    const told = listed(
      found.map(({ witness }) => `${witness.index}`),
      'and',
    );
    return found.length === 0 ? [] : `${wanted}${found.length > 1 ? 's' : ''} ${told}`;
  };
  const names = [others.includes(first) ? 'it' : [], numbers('reading'), numbers('symptom')].flat();
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
  const rest = names.length - mostNames;
  const told = names.slice(0, mostNames).map(clean).join(', ');
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
