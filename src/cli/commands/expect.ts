import { type Circuit, designateFault, type Fault } from '../../circuit/circuit.js';
import { expectPoints, usualBlack } from '../../diagnose/diagnose.js';
import { clean, expectJson, expectTable } from '../../report/report.js';
import { deliver, deliverUnusable, type OutputOptions, refuse, refuseName } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { stateFromOptions } from '../state-option.js';
import { withCircuit } from '../with-circuit.js';
import type { World } from '../world.js';

export interface ExpectOptions extends OutputOptions {
  readonly state: readonly string[];
  readonly fault: readonly string[];
  readonly black?: string;
  readonly input: 'high' | 'low';
}

export async function runExpect(world: World, path: string, options: ExpectOptions): Promise<ExitStatus> {
  return withCircuit(world, path, 'expect', options, async (circuit, inputs) => {
    const { state, problems } = stateFromOptions(circuit, options.state);
    if (problems.length > 0) {
      return deliverUnusable(world, options, 'expect', { problems, more: 0, unreadable: false, inputs });
    }
    const faults = readFaults(world, circuit, options.fault);
    const black = faults === undefined ? undefined : readBlack(world, circuit, options.black);
    if (faults === undefined || black === undefined) return exitStatus.unusable;
    const input = options.input === 'low' ? 'low-impedance' : 'high-impedance';
    const answer = expectPoints(circuit, state, faults, black, input);
    await deliver(world, options, 'expect', inputs, {
      table: (style) => expectTable(answer, style),
      json: () => expectJson(answer),
    });
    return exitStatus.agrees;
  });
}

/** The faults named; undefined, and told, when one is no fault of this circuit. */
function readFaults(world: World, circuit: Circuit, texts: readonly string[]): readonly Fault[] | undefined {
  const faults: Fault[] = [];
  for (const text of texts) {
    const read = designateFault(circuit, text);
    if (!read.ok) {
      refuseName(world, 'fault (PART:MODE or PART.CONTACT:MODE)', read.found, read.allowed, read.nearest);
      return undefined;
    }
    faults.push(read.fault);
  }
  return faults;
}

/** The node the black lead goes on; undefined, and told, when there is none or it is never probed. */
function readBlack(world: World, circuit: Circuit, name: string | undefined): number | undefined {
  const node = name === undefined ? usualBlack(circuit) : circuit.nodeByName.get(name);
  const hazard = node === undefined ? undefined : circuit.nodes[node]?.hazard;
  if (node !== undefined && hazard === undefined) return node;
  if (name === undefined)
    refuse(world, 'this circuit has no supply to put the black lead on.', 'Say where it goes: --black NODE.');
  else if (hazard === undefined) refuseName(world, 'node', name, [...circuit.nodeByName.keys()]);
  else
    refuse(
      world,
      `${clean(name)} is never probed (${clean(hazard)}).`,
      'Put the black lead elsewhere: --black NODE.',
    );
  return undefined;
}
