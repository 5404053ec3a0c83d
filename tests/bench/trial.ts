/**
 * A closed loop: each fault of each example is planted in an appliance with parts and supply off nominal, and looked
 * for from the complaint alone, with a meter that is not exact. A fault of a value is drawn until somebody complains.
 * `npm run bench -- trial [EXAMPLE [FAULT]] [every=3] [from=0] [strategies=1] [kinds=2] [seed=1]` takes one example,
 * every third fault of it from the first on (or those whose names begin so), the first strategy alone, and of faults
 * that are there or not (1) and those of a value (2) the latter. Not part of the tests: it takes an hour or more.
 */
import { type Circuit, type Fault, faultName } from '../../src/circuit/circuit.js';
import { holdReading, holdSymptom } from '../../src/diagnose/suspects/evidence.js';
import { partsOf } from '../../src/diagnose/suspects/suspects.js';
import { type Job, measuredSupplies, TestStand } from '../../src/meter/meter.js';
import type { Strategy } from '../../src/practice/desk.js';
import { type Hunt, hunt } from '../../src/practice/hunt.js';
import { plantedFaults } from '../../src/practice/planted.js';
import { numbersFrom, seedOf } from '../../src/practice/random.js';
import { halfSplit, proposed } from '../../src/practice/technician.js';
import { exampleCircuits, readArguments } from './example-circuits.js';
import { readEverywhere } from './read-everywhere.js';
import { readingsText } from './readings-text.js';
import { walk } from './walk.js';
import { type Call, callFor, mean, type Workshop, workshopOf } from './workshop.js';

type NamedStrategy = readonly [name: string, next: Strategy];

const strategies: readonly NamedStrategy[] = [
  ['proposed', proposed],
  ['half-split', halfSplit],
  ['walk', walk],
];

/** A fault that was looked for, once by each strategy; without hunts where nothing is seen to be wrong. */
interface Case {
  readonly fault: Fault;
  readonly complaint: Call['kind'];
  readonly hunts: readonly Hunt[];
  /** Parts that the first strategy left, and that volts everywhere would have cleared. */
  readonly tellable: readonly string[];
  /** What volts everywhere come to, where the first strategy left several parts. */
  readonly everywhere?: Hunt | undefined;
}

function tryFault(workshop: Workshop, fault: Fault, by: readonly NamedStrategy[]): Case {
  const { desk } = workshop;
  const call = callFor(workshop, fault);
  if (call.kind !== 'plain') return { fault, complaint: call.kind, hunts: [], tellable: [] };
  const { opening, broken } = call;
  const hunts = by.map(([, strategy]) => hunt(desk, opening, broken(), strategy));
  const [first] = hunts;
  const all = first?.answer.verdict === 'ambiguous' ? readEverywhere(desk, first, broken()) : undefined;
  const kept = all && left(all);
  const tellable =
    kept === undefined || kept.size === 0 || first === undefined
      ? []
      : [...left(first)].filter((part) => !kept.has(part));
  return { fault, complaint: 'plain', hunts, tellable, everywhere: all };
}

/** The parts that are left. */
function left({ answer }: Hunt): Set<string> {
  return new Set(answer.suspects.flatMap(partsOf));
}

/** Among the parts that are left; beside another fault it is not what was planted. */
function isFound({ fault }: Case, found: Hunt): boolean {
  if (found.answer.supposed === 'pair') return false;
  const parts = left(found);
  return [fault.part, ...(fault.with === undefined ? [] : [fault.with])].some((part) => parts.has(part));
}

/** The number that 95 % are no greater than. */
function most95(numbers: readonly number[]): number {
  return [...numbers].sort((a, b) => a - b)[Math.ceil(0.95 * numbers.length) - 1] ?? 0;
}

function report(title: string, cases: readonly Case[]): void {
  const count = (complaint: Case['complaint']) => cases.filter((each) => each.complaint === complaint).length;
  const hunted = cases.filter(({ hunts }) => hunts.length > 0);
  console.log(
    `${title}: ${cases.length} faults; ${hunted.length} looked for, ${count('nothing')} without a complaint, ${count('unsure')} within what the supply may do`,
  );
  if (hunted.length === 0) return;
  console.log(
    '              in the set   bounded to it   in a group   readings   95 % within   minutes   parts left',
  );
  for (const [index, [name]] of strategies.entries()) {
    if (hunted[0]?.hunts[index] === undefined) continue;
    const own = hunted.map((each) => ({ each, found: each.hunts[index] as Hunt }));
    const right = own.filter(({ each, found }) => isFound(each, found));
    const bounded = right.filter(({ found }) => found.answer.verdict === 'bounded');
    const taken = own.map(({ found }) => found.job.readings.length);
    const share = (some: readonly unknown[]) => `${((100 * some.length) / own.length).toFixed(1)} %`;
    const cells = [
      share(right).padStart(10),
      share(bounded).padStart(16),
      share(right.filter(({ found }) => found.answer.verdict !== 'bounded')).padStart(13),
      mean(taken).toFixed(2).padStart(11),
      String(most95(taken)).padStart(14),
      mean(own.map(({ found }) => found.minutes))
        .toFixed(1)
        .padStart(10),
      mean(own.map(({ found }) => left(found).size))
        .toFixed(2)
        .padStart(13),
    ];
    console.log(`  ${name.padEnd(12)}${cells.join('')}`);
  }
  const early = hunted.filter(({ tellable }) => tellable.length > 0);
  const [[first] = ['']] = strategies;
  if (early.length > 0) console.log(`  ${early.length} ended by ${first} where volts somewhere clear more`);
}

/** The readings and symptoms that are not what the fault gives, by themselves. */
function against(circuit: Circuit, job: Job, fault: Fault): string {
  const stand = new TestStand(circuit, measuredSupplies(circuit, job));
  const readings = job.readings.flatMap((reading) => {
    const { verdict, expected } = holdReading(stand, reading, [fault]);
    return verdict === 'differs' ? `against it: reading ${reading.index}, ${JSON.stringify(expected)}` : [];
  });
  const symptoms = job.symptoms.flatMap((symptom) => {
    const { verdict, expected } = holdSymptom(stand, symptom, [fault]);
    return verdict === 'differs' ? `against it: symptom ${symptom.index}, ${expected}` : [];
  });
  return [...readings, ...symptoms, ''].join('\n');
}

/** Every case whose part is not among those left, or that was given up early, with what was read. */
function reportMisses(circuit: Circuit, cases: readonly Case[]): number {
  let misses = 0;
  const tell = (what: string, each: Case, { job, answer, minutes }: Hunt) => {
    const { fault } = each;
    const instead = answer.suspects.map(({ faults }) => faults.map(faultName).join(' and ')).join(', ');
    console.log(`\n${what}: ${faultName(fault)}; ${answer.verdict}${instead && `: ${instead}`}`);
    console.log(readingsText(circuit, job));
    if (!isFound(each, { job, answer, minutes })) console.log(against(circuit, job, fault));
  };
  for (const each of cases) {
    const [first] = each.hunts;
    if (first && each.tellable.length > 0)
      tell(`EARLY, ${each.tellable.join(', ')} could be cleared`, each, first);
    if (each.everywhere && !isFound(each, each.everywhere)) {
      misses += 1;
      tell('MISS everywhere', each, each.everywhere);
    }
    for (const [index, found] of each.hunts.entries()) {
      if (isFound(each, found)) continue;
      misses += 1;
      tell(`MISS ${strategies[index]?.[0]}`, each, found);
    }
  }
  return misses;
}

const { only, what, numbers } = readArguments({
  every: 1,
  from: 0,
  strategies: strategies.length,
  kinds: 3,
  seed: 1,
});
const { every = 1, from = 0, kinds = 3, seed = 1 } = numbers;
const used = strategies.slice(0, numbers['strategies']);

/** The first of a fault's values that somebody complains of; else the last. */
function firstComplained(values: readonly Fault[], attempt: (fault: Fault) => Case): Case {
  let last: Case | undefined;
  for (const fault of values) {
    last = attempt(fault);
    if (last.complaint === 'plain') break;
  }
  if (last === undefined) throw new Error('no value to plant');
  return last;
}

function tryCircuit(name: string, circuit: Circuit): Case[] {
  const workshop = workshopOf(circuit, seed);
  const planted = plantedFaults(circuit, (fault) => numbersFrom(seedOf(`${name} ${fault}`, seed)));
  return planted
    .filter(([first]) => first !== undefined && (kinds & (first.value === undefined ? 1 : 2)) > 0)
    .filter((values, index) =>
      what === undefined ? index % every === from : values.some((fault) => faultName(fault).startsWith(what)),
    )
    .map((values) => {
      const each = firstComplained(values, (fault) => tryFault(workshop, fault, used));
      const { fault } = each;
      const ended = each.hunts.map((found) =>
        [
          found.job.readings.length,
          found.minutes,
          found.answer.verdict,
          left(found).size,
          isFound(each, found),
        ].join(' '),
      );
      const more = each.tellable.length === 0 ? [] : [`could clear ${each.tellable.join(', ')}`];
      process.stderr.write(`${[name, faultName(fault), each.complaint, ...ended, ...more].join('; ')}\n`);
      return each;
    });
}

function reportKinds(title: string, cases: readonly Case[]): void {
  const isValued = ({ fault }: Case) => fault.value !== undefined;
  report(
    `${title}, definite`,
    cases.filter((each) => !isValued(each)),
  );
  report(`${title}, of a value`, cases.filter(isValued));
}

let misses = 0;
const all: Case[] = [];
for (const [name, circuit] of exampleCircuits(only)) {
  const cases = tryCircuit(name, circuit);
  reportKinds(name, cases);
  misses += reportMisses(circuit, cases);
  all.push(...cases);
}
if (only === undefined) reportKinds('all', all);
console.log(`${misses} misses`);
process.exitCode = misses === 0 ? 0 : 1;
