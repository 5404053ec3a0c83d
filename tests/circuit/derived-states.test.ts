import { describe, expect, test } from 'vitest';
import {
  type Circuit,
  readState,
  restState,
  type State,
  stateKey,
  withLoose,
  withPowerOff,
  withSwitchesAtRest,
} from '../../src/circuit/circuit.js';
import { exampleCircuits } from '../cli/example-files.js';
import { openCircuit } from '../published/front-doors.js';

const circuits = exampleCircuits.map(([name, , text]) => [name, openCircuit(text)] as const);

function statesOf(circuit: Circuit): State[] {
  const named = [...circuit.states.keys()].map(
    (name) => readState(circuit, name, circuit.document, []).state,
  );
  return [restState(circuit), ...named];
}

/** What a derived state says, read again as a file would have it. */
function again(circuit: Circuit, state: State): State {
  const { state: read, problems } = readState(circuit, state.changes, circuit.document, []);
  expect(problems).toEqual([]);
  return read;
}

describe.each(circuits)('%s: a state made of another is the one that its words would give', (_, circuit) => {
  const states = statesOf(circuit);

  test('with the power off', () => {
    for (const state of states) {
      const off = withPowerOff(state);
      const read = again(circuit, off);
      expect([off.power, stateKey(off), off.settings]).toEqual([false, stateKey(read), read.settings]);
    }
  });

  test('with the power off and a terminal lifted', () => {
    const terminal = circuit.nodes.find(({ reachable, name }) => reachable && name.includes('.'))!.name;
    for (const state of states) {
      const loose = withLoose(withPowerOff(state), new Set([terminal]), new Set());
      const read = again(circuit, loose);
      expect([stateKey(loose), loose.disconnected]).toEqual([stateKey(read), read.disconnected]);
      // Its name would leave the terminal out.
      expect([loose.name, loose.on]).toEqual([undefined, undefined]);
    }
  });

  test('with its switches at rest', () => {
    for (const state of states) {
      const idle = withSwitchesAtRest(circuit, state);
      const read = again(circuit, idle);
      expect([idle.before, stateKey(idle), idle.settings]).toEqual([[], stateKey(read), read.settings]);
    }
  });
});
