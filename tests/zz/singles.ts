import { readFileSync, readdirSync } from 'node:fs';
import { buildCircuit, listFaults } from '../../src/circuit/circuit.js';
import { groupByState, holdReading, holdSymptom } from '../../src/diagnose/suspects/evidence.js';
import { screenOf } from '../../src/diagnose/suspects/screen.js';
import { measuredSupplies, readJob, TestStand } from '../../src/meter/meter.js';
import { operate } from '../../src/solve/operating-point.js';
import { readCircuitFile, readReadingsFile } from '../../src/text/text.js';
const [ex, only, loops = '60'] = process.argv.slice(2);
const folder = `examples/${ex}`;
const open = (text: string) => { const { file } = readCircuitFile({ name: 'b', text }); return buildCircuit(file!.document, file!.raw).circuit!; };
const circuit = open(readFileSync(`${folder}/${ex}.circuit.yaml`, 'utf8'));
const faults = listFaults(circuit);
for (const name of readdirSync(folder).sort().filter((f) => f.includes('.readings.') && (!only || f.startsWith(only)))) {
  const { file } = readReadingsFile({ name, text: readFileSync(`${folder}/${name}`, 'utf8') });
  const { job } = readJob(circuit, file!.document, file!.raw);
  const stand = new TestStand(circuit, measuredSupplies(circuit, job!));
  const amiss = new Set([
    ...job!.readings.filter((each) => holdReading(stand, each, []).verdict === 'differs'),
    ...job!.symptoms.filter((each) => holdSymptom(stand, each, []).verdict === 'differs'),
  ]);
  if (amiss.size === 0) continue;
  const groups = groupByState(job!, amiss);
  const times: number[] = [];
  let left = 0;
  const plan = stand.plan('running');
  const states = groups.filter(({ dead }) => !dead).map(({ state }) => state);
  const solves: number[] = [];
  for (let i = 0; i < +loops; i++) {
    const t = performance.now();
    const screen = screenOf(stand, groups);
    left = faults.filter((fault) => !screen([fault])).length;
    times.push((performance.now() - t) * 1000);
    const t2 = performance.now();
    for (const state of states) operate(plan, state);
    solves.push((performance.now() - t2) * 1000 / states.length);
  }
  const med = (a: number[]) => [...a].sort((x, y) => x - y)[a.length >> 1]!;
  const min = (a: number[]) => Math.min(...a);
  console.log(name, 'groups', groups.length, 'left', left, 'pass us', med(times).toFixed(0), min(times).toFixed(0), 'solve us', med(solves).toFixed(1), min(solves).toFixed(1), 'ratio', (med(times) / med(solves)).toFixed(1), (min(times)/min(solves)).toFixed(1));
}
