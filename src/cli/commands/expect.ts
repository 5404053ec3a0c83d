import { type Circuit, type State, withLoose } from '../../circuit/circuit.js';
import { type ExpectQuestion, expectEveryState, expectPoints, usualBlack } from '../../diagnose/diagnose.js';
import { clean, expectJson, expectTable, sweepJson, sweepTable } from '../../report/report.js';
import { type Answer, deliver, deliverUnusable, type OutputOptions, refuse, refuseName } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { readFaults } from '../fault-option.js';
import { progressOf } from '../progress.js';
import { stateFromOptions } from '../state-option.js';
import { withCircuit } from '../with-circuit.js';
import type { World } from '../world.js';

export interface ExpectOptions extends OutputOptions {
  readonly state: readonly string[];
  readonly fault: readonly string[];
  readonly black?: string;
  readonly input: 'high' | 'low';
  readonly disconnect: readonly string[];
  readonly unplug: readonly string[];
  readonly allStates?: boolean;
}

export async function runExpect(world: World, path: string, options: ExpectOptions): Promise<ExitStatus> {
  return withCircuit(world, path, 'expect', options, async (circuit, inputs) => {
    if (options.allStates === true && options.state.length > 0) {
      return refuse(
        world,
        '--all-states goes through every state; --state names one.',
        'Leave one of them out.',
      );
    }
    const loose = [
      ...listOption('disconnected', options.disconnect),
      ...listOption('unplugged', options.unplug),
    ];
    const { state, problems } = stateFromOptions(circuit, [...options.state, ...loose]);
    if (problems.length > 0) {
      return deliverUnusable(world, options, 'expect', { problems, more: 0, unreadable: false, inputs });
    }
    const faults = readFaults(world, circuit, options.fault);
    const black = faults === undefined ? undefined : readBlack(world, circuit, options.black);
    if (faults === undefined || black === undefined) return exitStatus.unusable;
    const input = options.input === 'low' ? 'low-impedance' : 'high-impedance';
    const question = { circuit, faults, black, input } as const;
    await deliver(world, options, 'expect', inputs, answerTo(world, options, question, state));
    return exitStatus.agrees;
  });
}

function listOption(key: string, names: readonly string[]): string[] {
  return names.length === 0 ? [] : [`${key}=${names.join('+')}`];
}

function answerTo(world: World, options: ExpectOptions, question: ExpectQuestion, state: State): Answer {
  if (options.allStates !== true) {
    const answer = expectPoints(question, state);
    return { table: (style) => expectTable(answer, style), json: () => expectJson(answer) };
  }
  const { disconnected, unplugged } = state;
  const progress = progressOf(world, options, 'states');
  const answer = expectEveryState(
    question,
    (each) => withLoose(each, disconnected, unplugged),
    options.format === 'json' ? 'bands' : 'shown',
    progress.tell,
  );
  progress.end();
  return { table: (style) => sweepTable(answer, style), json: () => sweepJson(answer) };
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
