/**
 * All single faults of each readings file of the largest example, and all pairs of faults that change one branch, looked
 * at in reading space. Beside them, in the same run: one solve of a state with islands and checks (`operate`) and the bare
 * load, factor and solve; and, for pairs, a process that does nothing (`node -e 0`). Ratios are what counts.
 */
import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import {
  buildCircuit,
  type Circuit,
  type Fault,
  type Load,
  listFaults,
  restState,
  type State,
  withSetting,
} from '../../src/circuit/circuit.js';
import { type Group, groupByState, holdReading, holdSymptom } from '../../src/diagnose/evidence.js';
import { explainer } from '../../src/diagnose/explained.js';
import { pairsLeft, screenOf } from '../../src/diagnose/screen.js';
import { instrument, measuredSupplies, nominalSupplies, readJob, TestStand } from '../../src/meter/meter.js';
import { Factor } from '../../src/solve/kernel/factor.js';
import { solveSources } from '../../src/solve/kernel/sources.js';
import { operate } from '../../src/solve/operating-point.js';
import { readCircuitFile, readReadingsFile } from '../../src/text/text.js';
import { microseconds } from './median.js';
import { syntheticCircuit } from './synthetic-circuit.js';

const largest = 'examples/range-control';

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

async function singles(): Promise<void> {
  const folder = readdirSync(largest).sort();
  const circuit = open(readFileSync(join(largest, 'range-control.circuit.yaml'), 'utf8'));
  const faults = listFaults(circuit);
  process.stdout.write(`${circuit.nodes.length} nodes, ${faults.length} single faults\n`);
  for (const name of folder.filter((each) => each.includes('.readings.'))) {
    const { file } = await readReadingsFile({ name, text: readFileSync(join(largest, name), 'utf8') });
    const { job } = readJob(circuit, file!.document, file!.raw);
    const stand = new TestStand(circuit, measuredSupplies(circuit, job));
    const amiss = new Set([
      ...job.readings.filter((each) => holdReading(stand, each, []).verdict === 'differs'),
      ...job.symptoms.filter((each) => holdSymptom(stand, each, []).verdict === 'differs'),
    ]);
    const groups = groupByState(job, amiss);
    const solve = solveOf(
      stand,
      groups.filter(({ dead }) => !dead).map(({ state }) => state),
    );
    let left: readonly Fault[] = [];
    const looked = microseconds(
      () => {
        const screen = screenOf(stand, groups);
        left = faults.filter((fault) => !screen([fault]));
      },
      15,
      5,
    ).median;
    const explain = explainer(stand, groups, []);
    const rest = microseconds(() => left.map((fault) => explain([fault])), 5, 1).median;
    process.stdout.write(
      `  ${name.padEnd(44)} ${left.length} left; ${(looked / solve.whole).toFixed(0)} solves, ${(looked / solve.bare).toFixed(0)} bare; ` +
        `what is left explained in ${(rest / solve.whole).toFixed(0)} solves more\n`,
    );
  }
}

/** A load that should work and does not, with no volts across it: what a technician has after two minutes. */
function pairs(name: string, circuit: Circuit, state: State, load: Load | undefined, nothing: number): void {
  const stand = new TestStand(circuit, nominalSupplies(circuit));
  const branch = load?.does.kind === 'volts' ? circuit.branches[load.does.branch] : undefined;
  if (load === undefined || branch === undefined) throw new Error('no load');
  const where = { kind: 'between', red: branch.from, black: branch.to } as const;
  const shown = { kind: 'value', value: 0, unit: 'V' } as const;
  const meter = instrument('high-impedance');
  const groups: Group[] = [
    {
      state,
      dead: false,
      symptoms: [{ index: 1, state, load, works: false }],
      readings: [{ index: 1, state, meter, where, shown }],
    },
  ];
  // Wires exchanged and another fault beside that are not worth a look.
  const faults = listFaults(circuit).filter(({ mode }) => mode !== 'crossed');
  let left = 0;
  const looked = microseconds(
    () => {
      left = [...pairsLeft(screenOf(stand, groups), faults)].length;
    },
    7,
    1,
  ).median;
  const all = (faults.length * (faults.length - 1)) / 2;
  const share = (looked / 1000 / nothing).toFixed(2);
  const each = (looked / all).toFixed(2);
  process.stdout.write(
    `${name}: ${all} pairs, ${left} left; ${share} of a process that does nothing, ${each} us a pair\n`,
  );
}

function processMilliseconds(): number {
  const each = Array.from({ length: 15 }, () => {
    const start = performance.now();
    spawnSync(process.execPath, ['-e', '0']);
    return performance.now() - start;
  });
  return each.sort((a, b) => a - b)[7]!;
}

const nothing = processMilliseconds();
async function run(): Promise<void> {
  await singles();
  const example = open(readFileSync(join(largest, 'range-control.circuit.yaml'), 'utf8'));
  const baking = withSetting(restState(example), 'MODE', 'bake');
  pairs('the largest example, baking', example, baking, example.loads.get('BAKE'), nothing);
  const synthetic = open(syntheticCircuit(150));
  pairs('150 nodes', synthetic, restState(synthetic), [...synthetic.loads.values()][0], nothing);
}

void run();
