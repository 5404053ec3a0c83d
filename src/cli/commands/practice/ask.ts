import type { Circuit } from '../../../circuit/circuit.js';
import { instrument, type Where } from '../../../meter/meter.js';
import type { Ask } from '../../../practice/practice.js';
import { clean } from '../../../report/report.js';
import { refuse, refuseName } from '../../deliver.js';
import type { Loaded } from '../../load.js';
import { stateFromOptions } from '../../state-option.js';
import type { World } from '../../world.js';

export type MeterFunction = 'V' | 'V ac' | 'V dc' | 'ohm' | 'A';

/** Where the leads are and what is set, as the command line or the bench says it. */
export interface Setting {
  /** As `--state` takes them. */
  readonly state: readonly string[];
  readonly red?: string | undefined;
  readonly black?: string | undefined;
  readonly on?: string | undefined;
  readonly function?: MeterFunction | undefined;
  readonly input: 'high' | 'low';
}

export type AskRead =
  | { readonly kind: 'ask'; readonly ask: Ask }
  /** Told on standard error already. */
  | { readonly kind: 'refused' }
  | ({ readonly kind: 'problems' } & Pick<Loaded<never>, 'problems'>);

/** Names to a reading that can be asked for; `how` says how what is missing is given. */
export function readAsk(
  world: World,
  circuit: Circuit,
  setting: Setting,
  how: (what: 'red' | 'black') => string,
): AskRead {
  const { state, problems } = stateFromOptions(circuit, setting.state);
  if (problems.length > 0) return { kind: 'problems', problems };
  const set = setting.function ?? (setting.on === undefined ? 'V' : 'A');
  const where = readWhere(world, circuit, setting, set, how);
  if (where === undefined) return { kind: 'refused' };
  const [unit, current] = set.split(' ') as ['V' | 'ohm' | 'A', 'ac' | 'dc' | undefined];
  const meter = instrument(setting.input === 'low' ? 'low-impedance' : 'high-impedance');
  const probe = { where, unit, meter, ...(current === undefined ? {} : { current }) };
  return { kind: 'ask', ask: { state, probe } };
}

function readWhere(
  world: World,
  circuit: Circuit,
  { red, black, on }: Setting,
  set: MeterFunction,
  how: (what: 'red' | 'black') => string,
): Where | undefined {
  if (on !== undefined && (red !== undefined || black !== undefined)) {
    refuse(world, 'a clamp and leads are two readings.', 'Leave one of them out.');
    return undefined;
  }
  if ((on === undefined) === (set === 'A')) {
    refuse(
      world,
      set === 'A' ? 'amps are read with a clamp around a conductor.' : 'a clamp reads amps.',
      'Leads read V or ohm, a clamp reads A.',
    );
    return undefined;
  }
  if (on !== undefined) return around(world, circuit, on);
  for (const [what, name] of [
    ['red', red],
    ['black', black],
  ] as const) {
    if (name !== undefined) continue;
    refuse(world, `nothing says where the ${what} lead goes.`, how(what));
    return undefined;
  }
  const [first, second] = [nodeAt(world, circuit, red ?? ''), nodeAt(world, circuit, black ?? '')];
  if (first === undefined || second === undefined) return undefined;
  if (first === second) {
    refuse(
      world,
      `both leads are at ${clean(red ?? '')}.`,
      'Between a place and itself there is nothing to read.',
    );
    return undefined;
  }
  return { kind: 'between', red: first, black: second };
}

/** A place that can be got at; one with a hazard is for the bench to refuse, and to count. */
function nodeAt(world: World, { nodes, nodeByName }: Circuit, name: string): number | undefined {
  const node = nodeByName.get(name);
  if (node === undefined) {
    refuseName(world, 'node', name, [...nodeByName.keys()]);
    return undefined;
  }
  if (nodes[node]?.reachable === true || nodes[node]?.hazard !== undefined) return node;
  refuse(world, `${clean(name)} is out of reach.`, 'Read at another place.');
  return undefined;
}

function around(world: World, { parts }: Circuit, name: string): Where | undefined {
  const part = parts.get(name);
  if (part === undefined) {
    const wires = [...parts.values()].filter(({ kind }) => kind === 'wire').map((each) => each.name);
    refuseName(world, 'wire', name, wires);
    return undefined;
  }
  const [branch, second] = part.branches;
  if (branch !== undefined && second === undefined) return { kind: 'around', branch };
  refuse(world, `a clamp does not fit around ${clean(name)}.`, 'A clamp goes around a single conductor.');
  return undefined;
}
