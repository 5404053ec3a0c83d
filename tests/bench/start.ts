/**
 * Start-up: whole runs of the program as multiples of `node -e 0`, by size of the circuit. `check` reads a synthetic
 * circuit and six readings of a wire that is open, and prints its answer. `npm run bench -- start [rounds=25]`.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { besideEmptyRun } from './empty-run.js';
import { readArguments } from './example-circuits.js';
import { type Ratio, report } from './ratios.js';
import { openWire, syntheticCircuit } from './synthetic-circuit.js';

const bin = resolve('bin/loadside.js');
const bars = new Map([
  [20, 1.6],
  [60, 2],
  [150, 2.6],
  [300, 3.4],
]);
const shortest = 1.1;

interface Timed {
  readonly what: string;
  readonly call: readonly string[];
  readonly bar: number;
}

function measure(): void {
  const { rounds = 0 } = readArguments({ rounds: 25 }).numbers;
  const folder = mkdtempSync(join(tmpdir(), 'loadside-bench-'));
  try {
    for (const nodes of bars.keys()) {
      writeFileSync(join(folder, `${nodes}.circuit.yaml`), syntheticCircuit(nodes));
      writeFileSync(join(folder, `${nodes}.readings.yaml`), openWire(`${nodes}.circuit.yaml`));
    }
    const calls: Timed[] = [
      { what: '--help', call: [bin, '--help'], bar: shortest },
      { what: '--version', call: [bin, '--version'], bar: shortest },
      { what: 'a wrong call', call: [bin, 'chekc'], bar: shortest },
    ];
    for (const [nodes, bar] of bars)
      calls.push({
        what: `check, ${nodes} nodes`,
        call: [bin, 'check', join(folder, `${nodes}.readings.yaml`)],
        bar,
      });
    const found = besideEmptyRun(
      calls.map(({ call }) => call),
      rounds,
    );
    const ratios = calls.map(
      ({ what, bar }, index): Ratio => ({
        what,
        of: 'x node -e 0',
        ...found[index]!,
        bar,
        better: 'less',
      }),
    );
    report('start', ratios);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

measure();
