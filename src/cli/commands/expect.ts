import { type Circuit, designateFault, type Fault } from '../../circuit/circuit.js';
import { expectPoints, usualBlack } from '../../diagnose/diagnose.js';
import { clean, expectJson, expectTable, showJson } from '../../report/report.js';
import { nearestName } from '../../text/text.js';
import { deliver, deliverUnusable, envelopeOf, type OutputOptions, refuse, warn } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { loadCircuit } from '../load.js';
import { stateFromOptions } from '../state-option.js';
import { styleFor } from '../terminal.js';
import type { World } from '../world.js';

export interface ExpectOptions extends OutputOptions {
  readonly state: readonly string[];
  readonly fault: readonly string[];
  readonly black?: string;
  readonly input: 'high' | 'low';
}

export async function runExpect(world: World, path: string, options: ExpectOptions): Promise<ExitStatus> {
  const loaded = await loadCircuit(world, path);
  if (loaded.value === undefined) return deliverUnusable(world, options, 'expect', loaded);
  warn(world, options, loaded);
  const { circuit } = loaded.value;
  const { state, problems } = stateFromOptions(circuit, options.state);
  if (problems.length > 0) return deliverUnusable(world, options, 'expect', { ...loaded, problems });
  const faults = readFaults(circuit, options.fault);
  if (!faults.ok) return refuse(world, faults.message, faults.help);
  const black = readBlack(circuit, options.black);
  if (!black.ok) return refuse(world, black.message, black.help);
  const input = options.input === 'low' ? 'low-impedance' : 'high-impedance';
  const answer = expectPoints(circuit, state, faults.faults, black.node, input);
  const text =
    options.format === 'json'
      ? showJson('expect', envelopeOf(loaded.inputs), expectJson(answer))
      : expectTable(answer, styleFor(world, 'out', options));
  await deliver(world, options, text);
  return exitStatus.agrees;
}

interface Refusal {
  readonly ok: false;
  readonly message: string;
  readonly help: string;
}

function readFaults(
  circuit: Circuit,
  texts: readonly string[],
): { readonly ok: true; readonly faults: readonly Fault[] } | Refusal {
  const faults: Fault[] = [];
  for (const text of texts) {
    const read = designateFault(circuit, text);
    if (!read.ok) {
      const meant = read.nearest === undefined ? '' : ` Did you mean ${clean(read.nearest)}?`;
      const few = read.allowed.slice(0, 12).map(clean).join(', ');
      const rest = read.allowed.length > 12 ? `, and ${read.allowed.length - 12} more` : '';
      const help = `A fault is PART:MODE or PART.CONTACT:MODE. Known here: ${few}${rest}.`;
      return { ok: false, message: `--fault ${clean(text)} names no fault of this circuit.${meant}`, help };
    }
    faults.push(read.fault);
  }
  return { ok: true, faults };
}

function readBlack(
  circuit: Circuit,
  name: string | undefined,
): { readonly ok: true; readonly node: number } | Refusal {
  const node = name === undefined ? usualBlack(circuit) : circuit.nodeByName.get(name);
  const help = 'The black lead goes on a node of the circuit: --black MAINS.N, say.';
  if (node === undefined) {
    const nearest = name === undefined ? undefined : nearestName(name, [...circuit.nodeByName.keys()]);
    const meant = nearest === undefined ? '' : ` Did you mean ${clean(nearest)}?`;
    const message =
      name === undefined
        ? 'this circuit has no supply to put the black lead on.'
        : `--black ${clean(name)}: no node of that name.${meant}`;
    return { ok: false, message, help };
  }
  const hazard = circuit.nodes[node]?.hazard;
  if (hazard === undefined) return { ok: true, node };
  return { ok: false, message: `--black ${clean(name ?? '')}: never probed (${hazard}).`, help };
}
