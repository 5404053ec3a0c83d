/**
 * A fault dictionary: one state of 150 nodes with each fault that is there or not, volts of every node. By strokes on the
 * sound network's factor, beside solving each fault's network anew. Then a whole `check` and `next` of a job at hand,
 * beside a process that does nothing.
 */
import { buildCircuit, type Circuit, type Fault, listFaults, restState } from '../../src/circuit/circuit.js';
import { checkJob, proposeNext } from '../../src/diagnose/diagnose.js';
import { readJob } from '../../src/meter/meter.js';
import { operate } from '../../src/solve/operating-point.js';
import { planCircuit, Workbench } from '../../src/solve/solve.js';
import { PointView, type View } from '../../src/solve/view.js';
import { readCircuitFile, readReadingsFile } from '../../src/text/text.js';
import { emptyMilliseconds } from './empty-run.js';
import { type Ratio, report, spreadOf } from './ratios.js';
import { openWire, syntheticCircuit } from './synthetic-circuit.js';

const rounds = 15;

function open(text: string): Circuit {
  const { file } = readCircuitFile({ name: 'synthetic', text });
  const circuit = file && buildCircuit(file.document, file.raw).circuit;
  if (circuit === undefined) throw new Error('the synthetic circuit does not build');
  return circuit;
}

/** Size of every node's volts at every frequency. */
function volts(view: View, into: Float64Array): void {
  for (let frequency = 0; frequency < view.point.phasors.length; frequency += 1) {
    const { re, im } = view.nodeVolts(frequency);
    for (let node = 0; node < into.length; node += 1)
      into[node] = Math.sqrt(re[node]! * re[node]! + im[node]! * im[node]!);
  }
}

function timed(run: () => void): number {
  const start = performance.now();
  run();
  return performance.now() - start;
}

function dictionary(): Ratio {
  const circuit = open(syntheticCircuit(150));
  const faults = listFaults(circuit).filter(({ mode }) => mode === 'open' || mode === 'shorted');
  const plan = planCircuit(circuit);
  const state = restState(circuit);
  const into = new Float64Array(circuit.nodes.length);
  const low = () => {
    const bench = new Workbench(plan, state);
    for (const fault of faults) {
      const sight = bench.under([fault]);
      if (sight.kind === 'steady') volts(sight.view, into);
    }
  };
  const anew = (fault: Fault) => {
    const operation = operate(plan, state, [fault]);
    if (operation.kind === 'steady') volts(new PointView(operation.point), into);
  };
  const gains: number[] = [];
  for (let round = -3; round < rounds; round += 1) {
    const quick = timed(low);
    const slow = timed(() => faults.forEach(anew));
    if (round >= 0) gains.push(slow / quick);
  }
  return {
    what: `${faults.length} faults of 150 nodes, every node's volts`,
    of: 'times as fast as solving each anew',
    ...spreadOf(gains),
    bar: 2.5,
    better: 'more',
  };
}

/** Of a circuit read anew, in a process that is warm: `check` of six readings, and `next` from the complaint alone. */
function answers(nodes: number, empty: number): readonly Ratio[] {
  const text = syntheticCircuit(nodes);
  const { file } = readReadingsFile({ name: 'bench', text: openWire('bench.circuit.yaml') });
  const figures = { check: [] as number[], next: [] as number[] };
  for (let round = -2; round < rounds; round += 1) {
    const circuit = open(text);
    const { job } = readJob(circuit, file!.document, file!.raw);
    const check = timed(() => {
      checkJob(circuit, job!);
    });
    const complaint = { ...job!, readings: [] };
    const suspects = checkJob(circuit, complaint);
    const next = timed(() => {
      proposeNext(circuit, complaint, suspects);
    });
    if (round < 0) continue;
    figures.check.push(check / empty);
    figures.next.push(next / empty);
  }
  const what = { check: 'check of six readings', next: 'next from the complaint alone' } as const;
  return (['check', 'next'] as const).map((each) => ({
    what: `${what[each]}, ${nodes} nodes`,
    of: 'x node -e 0',
    ...spreadOf(figures[each]),
    better: 'less',
  }));
}

const empty = emptyMilliseconds();
report('faults', [dictionary(), ...answers(60, empty), ...answers(150, empty)]);
