import { describe, expect, test } from 'vitest';
import {
  type Circuit,
  designateFault,
  type Fault,
  faultName,
  listFaults,
  readState,
  restState,
  type State,
} from '../../src/circuit/circuit.js';
import { expectPoints, usualBlack } from '../../src/diagnose/diagnose.js';
import { expectJson, expectTable } from '../../src/report/report.js';
import { openCircuit } from '../published/front-doors.js';
import { walkedCircuits } from './example-files.js';
import { jsonOf, run } from './run.js';

const circuits = walkedCircuits.map(([name, path, text]) => [name, path, openCircuit(text)] as const);

const style = { level: 0, width: 80, ascii: false } as const;

function statesOf(circuit: Circuit): State[] {
  const named = [...circuit.states.keys()].map(
    (name) => readState(circuit, name, circuit.document, []).state,
  );
  return [restState(circuit), ...named];
}

/** What is amiss with an answer that nobody should see; undefined when nothing is. */
function amiss(circuit: Circuit, state: State, faults: readonly Fault[], turn: number): string | undefined {
  // Both inputs and both forms take their turns: each fault meets each of them in some state.
  const input = turn % 2 === 0 ? 'high-impedance' : 'low-impedance';
  const answer = expectPoints({ circuit, faults, black: usualBlack(circuit)!, input }, state);
  const table = turn % 5 === 0 ? expectTable(answer, style) : '';
  const text = JSON.stringify(expectJson(answer)) + table;
  // A number that is none becomes null in JSON: an expected value has numbers alone.
  return /NaN|Infinity|undefined|-0\.0+ |"(?:low|high|nominal)":null|:-0[,}]/.exec(text)?.[0];
}

describe('every fault is told, whatever it does', () => {
  test.each(circuits)('%s: no crash, no number that is none', { timeout: 30_000 }, (_, __, circuit) => {
    const all = listFaults(circuit);
    expect(all.length).toBeGreaterThan(70);
    // Slips and leaks are many, and one is much like the next: every third of them.
    const faults = all.filter(({ mode }, index) => index % 3 === 0 || !/wrong-pin|crossed|leaks/.test(mode));
    const states = statesOf(circuit);
    // Each fault in two of the states, other two for the next one.
    const found = faults.flatMap((fault, index) =>
      states
        .filter((_, turn) => (turn + index) % Math.ceil(states.length / 2) === 0)
        .map((state, turn) => [faultName(fault), state.name, amiss(circuit, state, [fault], turn + index)]),
    );
    expect(found.filter(([, , what]) => what !== undefined)).toEqual([]);
  });

  test.each(circuits)('%s: each is meant by its name', (_, __, circuit) => {
    const all = listFaults(circuit);
    expect(all.map((fault) => designateFault(circuit, faultName(fault)))).toEqual(
      all.map((fault) => ({ ok: true, fault })),
    );
  });

  test.each(circuits)('%s: one of each mode is planted on the command line', async (_, path, circuit) => {
    const states = [...circuit.states.keys()];
    const oneOfEach = new Map(listFaults(circuit).map((fault) => [fault.mode, fault]));
    for (const [index, fault] of [...oneOfEach.values()].entries()) {
      const name = faultName(fault);
      const state = states[index % states.length]!;
      const ran = await run(['expect', path, '--fault', name, '--state', state, '--format', 'json']);
      expect([name, ran.status, ran.err]).toEqual([name, 0, '']);
      const [told] = jsonOf(ran).faults;
      expect([name, told.part, told.mode]).toEqual([name, fault.part, fault.mode]);
    }
  });

  test.each(circuits)('%s: no two faults have one name', (_, __, circuit) => {
    const names = listFaults(circuit).map(faultName);
    expect(names.filter((name, index) => names.indexOf(name) !== index)).toEqual([]);
  });

  test.each(circuits)('%s: two at once neither', (_, __, circuit) => {
    const faults = listFaults(circuit);
    const states = statesOf(circuit);
    const found: unknown[] = [];
    // Every other fault, each with another one.
    for (const [index, fault] of faults.entries()) {
      if (index % 2 !== 0) continue;
      const other = faults[(index * 37 + 11) % faults.length]!;
      const state = states[index % states.length]!;
      const what = amiss(circuit, state, [fault, other], index);
      if (what !== undefined) found.push([faultName(fault), faultName(other), state.name, what]);
    }
    expect(found).toEqual([]);
  });
});
