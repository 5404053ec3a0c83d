/**
 * Sound appliances with parts and supplies anywhere in their tolerances and a meter that is not exact, read at random
 * places in random states: whatever `check` says of them but that all is well is a false alarm.
 * `npm run bench -- healthy [EXAMPLE] [samples=10000] [seed=1]`. Not part of the tests: it takes a minute.
 */
import { type Circuit, namedStates, type State, withPowerOff } from '../../src/circuit/circuit.js';
import { holdReading, holdSymptom } from '../../src/diagnose/suspects/evidence.js';
import {
  instrument,
  type Job,
  measuredSupplies,
  type Probe,
  type Reading,
  type Symptom,
  TestStand,
} from '../../src/meter/meter.js';
import { Appliance, builtStand } from '../../src/practice/appliance.js';
import { numbersFrom, seedOf } from '../../src/practice/random.js';
import { sweepStates } from '../../src/solve/solve.js';
import { exampleCircuits, readArguments } from './example-circuits.js';
import { measuredOutlets } from './outlets.js';
import { readingsText } from './readings-text.js';

/** Readings of one sample: from one to as many. */
const mostReadings = 12;

type Random = () => number;

function pick<T>(from: readonly T[], random: Random): T {
  return from[Math.floor(random() * from.length)] as T;
}

interface Sampler {
  readonly circuit: Circuit;
  readonly states: readonly State[];
  readonly nodes: readonly number[];
  /** Supply terminals: where black leads stay, and where supplies are measured. */
  readonly terminals: readonly number[];
  /** Branches a clamp can be put around. */
  readonly clamped: readonly number[];
}

function samplerOf(circuit: Circuit): Sampler {
  return {
    circuit,
    states: [...namedStates(circuit), ...sweepStates(circuit, 64).states],
    nodes: circuit.nodes.filter(({ hazard }) => hazard === undefined).map(({ index }) => index),
    terminals: [...circuit.supplies.values()].flatMap(({ legs }) => legs.map(({ node }) => node)),
    clamped: [...circuit.parts.values()].flatMap(({ branches }) => (branches.length === 1 ? branches : [])),
  };
}

/** Most readings are volts against a terminal, as people take them; any two places, ohms and amps as well. */
function probeOf({ nodes, terminals, clamped }: Sampler, home: number, random: Random): Probe {
  const meter = instrument(random() < 0.5 ? 'high-impedance' : 'low-impedance');
  const kind = random();
  if (kind < 0.1) return { where: { kind: 'around', branch: pick(clamped, random) }, unit: 'A', meter };
  const red = pick(kind < 0.2 ? terminals : nodes, random);
  const black = kind < 0.7 && red !== home ? home : pick(nodes, random);
  const other = red === black ? (nodes.find((node) => node !== red) ?? home) : black;
  return { where: { kind: 'between', red, black: other }, unit: kind > 0.85 ? 'ohm' : 'V', meter };
}

/** What somebody who suspects nothing writes down: the outlet's volts in every other sample. */
function sampleOf(sampler: Sampler, number: number, seed: number): Job {
  const { circuit, states, terminals } = sampler;
  const random = numbersFrom(seedOf(`${circuit.title} ${number}`, seed));
  const appliance = new Appliance(builtStand(circuit, undefined, random), [], () => random);
  const home = pick(terminals, random);
  const readings = Array.from({ length: 1 + Math.floor(random() * mostReadings) }, (_, index): Reading => {
    const probe = probeOf(sampler, home, random);
    const state = probe.unit === 'ohm' ? withPowerOff(pick(states, random)) : pick(states, random);
    const { where, meter } = probe;
    return { index: index + 1, state, where, shown: appliance.shows(state, probe), meter };
  });
  const symptoms = Array.from({ length: 3 }, (_, index): Symptom | undefined => {
    const [state, load] = [pick(states, random), pick([...circuit.loads.values()], random)];
    const works = appliance.works(load.name, state);
    return works === undefined ? undefined : { index: index + 1, state, load, works };
  }).filter((symptom) => symptom !== undefined);
  const supply = number % 2 === 0 ? measuredOutlets(circuit, appliance) : new Map<string, number>();
  return { meter: instrument('high-impedance'), supply, symptoms, trips: [], readings };
}

/** As `checkJob` compares, without what it makes of that: what clears parts where all agrees takes much longer. */
function compared(circuit: Circuit, job: Job) {
  const stand = new TestStand(circuit, measuredSupplies(circuit, job));
  return [
    ...job.readings.map((reading) => holdReading(stand, reading, [])),
    ...job.symptoms.map((symptom) => holdSymptom(stand, symptom, [])),
  ];
}

/** What was taken for wrong, and what was expected there. */
function causes(evidence: ReturnType<typeof compared>): string[] {
  return evidence
    .filter(({ verdict }) => verdict === 'differs')
    .map((each) => {
      const what = 'reading' in each ? `reading ${each.reading.index}` : `symptom ${each.symptom.index}`;
      return `${what}: ${JSON.stringify(each.expected)}`;
    });
}

const { only, numbers } = readArguments({ samples: 10_000, seed: 1 });
const { samples = 0, seed = 1 } = numbers;
const samplers = exampleCircuits(only).map(([name, circuit]) => ({ name, ...samplerOf(circuit) }));
let [agree, alarms] = [0, 0];
for (let number = 0; number < samples; number += 1) {
  if (number % 500 === 0 && number > 0) process.stderr.write(`${number} of ${samples}\n`);
  // Every other one has its outlet measured: the circuits take turns by twos.
  const sampler = samplers[(number >> 1) % samplers.length]!;
  const job = sampleOf(sampler, number, seed);
  const evidence = compared(sampler.circuit, job);
  const is = (verdict: string) => evidence.some((each) => each.verdict === verdict);
  if (!is('differs')) {
    if (is('agrees')) agree += 1;
    continue;
  }
  alarms += 1;
  console.log(`FALSE ALARM ${sampler.name}, sample ${number}`);
  console.log([...causes(evidence), readingsText(sampler.circuit, job)].join('\n'));
}
console.log(
  `${samples} sound appliances: ${agree} agree, ${samples - alarms - agree} have nothing conclusive read`,
);
console.log(`false alarms: ${alarms}, ${((100 * alarms) / samples).toFixed(3)} %`);
process.exitCode = alarms / samples < 0.001 ? 0 : 1;
