/**
 * All single faults of each readings file of the largest example in which something is amiss, for the first job on a stand
 * and for one more in the same states, and all pairs of faults for a job that two planted faults make and no single one
 * explains, looked at in reading space. Beside them, in the same run: one solve of a state with islands and checks
 * (`operate`) and the bare load, factor and solve; and, for pairs, a process that does nothing (`node -e 0`). Ratios are
 * what counts.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import {
  buildCircuit,
  type Circuit,
  type Fault,
  faultName,
  listFaults,
  restState,
  type State,
  withSetting,
} from '../../src/circuit/circuit.js';
import { type Group, groupByState, holdReading, holdSymptom } from '../../src/diagnose/suspects/evidence.js';
import { explainer } from '../../src/diagnose/suspects/explained.js';
import { pairsOf } from '../../src/diagnose/suspects/pairs.js';
import { screenOf } from '../../src/diagnose/suspects/screen.js';
import {
  measuredSupplies,
  nominalSupplies,
  type Reading,
  readJob,
  TestStand,
  usualInstrument,
} from '../../src/meter/meter.js';
import { Factor } from '../../src/solve/kernel/factor.js';
import { solveSources } from '../../src/solve/kernel/sources.js';
import { operate } from '../../src/solve/operating-point.js';
import { readCircuitFile, readReadingsFile } from '../../src/text/text.js';
import { emptyMilliseconds } from './empty-run.js';
import { exampleCircuits } from './example-circuits.js';
import { microseconds } from './median.js';
import { type Ratio, report, spreadOf } from './ratios.js';
import { openWire, syntheticCircuit } from './synthetic-circuit.js';

/** Of the examples, by nodes: with it a job costs most. */
const [largest, largestCircuit] = exampleCircuits().reduce((most, each) =>
  each[1].nodes.length > most[1].nodes.length ? each : most,
);
const singlesBar = 30;
const synthetic150Bar = 20;
const pairsBar = 0.5;
const pairs150Bar = 0.25;

function open(text: string): Circuit {
  const { file } = readCircuitFile({ name: 'bench', text });
  const circuit = file && buildCircuit(file.document, file.raw).circuit;
  if (circuit === undefined) throw new Error('the circuit does not build');
  return circuit;
}

/** Microseconds of one solve of a state as it stands, with everything and bare. */
function solveOf(stand: TestStand, states: readonly Group['state'][]): { whole: number; bare: number } {
  const plan = stand.plan('running');
  const whole =
    microseconds(
      () => {
        for (const state of states) operate(plan, state);
      },
      21,
      20,
    ).median / states.length;
  const operation = operate(plan, states[0]!);
  if (operation.kind !== 'steady') throw new Error(operation.kind);
  const { y, emf } = operation.point.phasors[0]!;
  const factor = new Factor(plan.structure);
  const count = stand.circuit.nodes.length;
  const [re, im] = [new Float64Array(count), new Float64Array(count)];
  const bare = microseconds(() => {
    factor.load(y.re, y.im);
    solveSources(factor, y.re, y.im, emf.re, emf.im, re, im);
  }).median;
  return { whole, bare };
}

/** As solves of one of a job's states: all single faults of the first job on a stand, and of one more in the same states. */
interface Singles {
  readonly first: number;
  readonly again: number;
  readonly told: string;
}

/** Undefined where nothing is amiss. */
function singles(circuit: Circuit, name: string, text: string): Singles | undefined {
  const { file } = readReadingsFile({ name, text });
  const { job } = readJob(circuit, file!.document, file!.raw);
  const faults = listFaults(circuit);
  const stand = new TestStand(circuit, measuredSupplies(circuit, job));
  const amiss = new Set([
    ...job.readings.filter((each) => holdReading(stand, each, []).verdict === 'differs'),
    ...job.symptoms.filter((each) => holdSymptom(stand, each, []).verdict === 'differs'),
  ]);
  if (amiss.size === 0) return undefined;
  const groups = groupByState(job, amiss);
  const running = groups.filter(({ dead }) => !dead).map(({ state }) => state);
  const solve = solveOf(stand, running);
  let left: readonly Fault[] = [];
  const pass = (on: TestStand) => {
    const screen = screenOf(on, groups);
    left = faults.filter((fault) => !screen([fault]));
  };
  const again = microseconds(() => pass(stand), 15, 5).median / solve.whole;
  const first =
    middleOf(
      Array.from({ length: newStands }, () => {
        const own = new TestStand(circuit, stand.supplies);
        for (const reading of job.readings) holdReading(own, reading, []);
        for (const symptom of job.symptoms) holdSymptom(own, symptom, []);
        const start = performance.now();
        pass(own);
        return (performance.now() - start) * 1000;
      }),
    ) / solve.whole;
  const explain = explainer(stand, groups, []);
  const rest = microseconds(() => left.map((fault) => explain([fault])), 5, 1).median;
  return {
    first,
    again,
    told: `${name}: ${faults.length} faults, ${left.length} left; ${first.toFixed(0)} solves, then ${again.toFixed(0)}; one is ${(solve.whole / solve.bare).toFixed(0)} bare; what is left explained in ${(rest / solve.whole).toFixed(0)} more`,
  };
}

const newStands = 25;

function middleOf(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1]!;
}

function singlesOf(
  what: string,
  circuit: Circuit,
  files: readonly [name: string, text: string][],
  bar: number,
): Ratio[] {
  const found = files.flatMap(([name, text]) => singles(circuit, name, text) ?? []);
  for (const { told } of found) console.log(`  ${told}`);
  return (['first', 'again'] as const).map((which) => ({
    what: `single faults of one file, ${what}, ${which === 'first' ? 'the first in its states' : 'in states seen before'}`,
    of: 'x one solve of a state',
    ...spreadOf(found.map((each) => each[which])),
    bar,
    better: 'less',
  }));
}

function filesOf(example: string): [name: string, text: string][] {
  const folder = join('examples', example);
  return readdirSync(folder)
    .filter((each) => each.includes('.readings.'))
    .sort()
    .map((name) => [name, readFileSync(join(folder, name), 'utf8')]);
}

const readingsTaken = { amiss: 4, asTheyShould: 2 };

/** What somebody has when no single fault explains it: two faults show in six readings across parts and in all symptoms. */
function jobWith(stand: TestStand, state: State, planted: readonly Fault[]): Group {
  const { circuit } = stand;
  const sight = stand.look(state, planted);
  if (sight.kind !== 'steady') throw new Error(sight.kind);
  const symptoms = [...circuit.loads.values()].flatMap((load, index) => {
    const works = stand.worksIn(sight.view, { index, state, load, works: true });
    return works === 'marginal' ? [] : { index, state, load, works: works === 'yes' };
  });
  const taken = circuit.branches.flatMap(({ from: red, to: black }): Reading[] => {
    if (red < 0) return [];
    const where = { kind: 'between', red, black } as const;
    const probe = { where, unit: 'V', meter: usualInstrument } as const;
    const expected = stand.expectIn(sight.view, probe);
    const value = Number((expected.kind === 'driven' ? expected.nominal : expected.likely).toFixed(1));
    const shown = { kind: 'value', value, unit: 'V' } as const;
    return [{ index: 1, state, meter: usualInstrument, where, shown }];
  });
  const isAmiss = (reading: Reading) => holdReading(stand, reading, []).verdict === 'differs';
  const isThere = ({ shown }: Reading) => shown.kind === 'value' && shown.value > 1;
  const readings = [
    ...taken.filter(isAmiss).slice(0, readingsTaken.amiss),
    ...taken.filter((each) => !isAmiss(each) && isThere(each)).slice(0, readingsTaken.asTheyShould),
  ].map((each, at) => ({ ...each, index: at + 1 }));
  return { state, dead: false, symptoms, readings };
}

/** All pairs but two slips of the hand, which are not looked for. */
function pairs(
  name: string,
  circuit: Circuit,
  state: State,
  planted: readonly string[],
  nothing: number,
  bar: number,
): Ratio[] {
  const stand = new TestStand(circuit, nominalSupplies(circuit));
  const faults = listFaults(circuit);
  const groups = [
    jobWith(
      stand,
      state,
      planted.map((each) => faults.find((fault) => faultName(fault) === each)!),
    ),
  ];
  const explain = explainer(stand, groups, []);
  const alone = faults.filter((fault) => explain([fault]) !== undefined);
  if (alone.length > 0) throw new Error(`${faultName(alone[0]!)} explains it alone`);
  const isSlip = ({ mode }: Fault) => mode === 'crossed' || mode === 'wrong-pin';
  const both: (readonly [string, readonly Fault[]])[] = [
    ['no slip of the hand', faults.filter((fault) => !isSlip(fault))],
    ['one or none', faults],
  ];
  return both.map(([slips, listed]) => {
    let left = 0;
    const tried = [...pairsOf(listed)];
    const looked = microseconds(
      () => {
        const screen = screenOf(stand, groups);
        left = tried.filter((pair) => !screen(pair)).length;
      },
      5,
      1,
    );
    console.log(
      `  ${name}, ${slips}: ${left} of ${tried.length} left; ${(looked.median / tried.length).toFixed(2)} us a pair`,
    );
    return {
      what: `pairs of faults in one state, ${name}, ${slips}: ${tried.length}`,
      of: 'x node -e 0',
      ...spreadOf([looked.least, looked.median, looked.most].map((each) => each / 1000 / nothing)),
      ...(listed === faults ? {} : { bar }),
      better: 'less',
    };
  });
}

const nothing = emptyMilliseconds();
const control = open(readFileSync('examples/range-control/range-control.circuit.yaml', 'utf8'));
const baking = withSetting(restState(control), 'MODE', 'bake');
const synthetic = open(syntheticCircuit(150));
report('screen', [
  ...singlesOf(largest, largestCircuit, filesOf(largest), singlesBar),
  ...singlesOf('range-control', control, filesOf('range-control'), singlesBar),
  ...singlesOf('150 nodes', synthetic, [['a wire open', openWire('bench.circuit.yaml')]], synthetic150Bar),
  ...pairs('range-control baking', control, baking, ['BAKE:open', 'K1:open'], nothing, pairsBar),
  ...pairs('150 nodes', synthetic, restState(synthetic), ['L0:open', 'L5:open'], nothing, pairs150Bar),
]);
