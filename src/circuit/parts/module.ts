import type { Path, Raw } from '../../text/text.js';
import { defaultOhms, moduleTolerance, nominalFor, plausible } from '../defaults.js';
import type { Draft } from '../draft.js';
import type { Fault } from '../fault.js';
import type { ModuleInput, Rule } from '../model.js';
import type { Volts } from '../units.js';

/** An electronic part described by what it does: a supply it needs, inputs it reads, outputs it gives. */
export function addModule(draft: Draft, name: string, raw: Raw.Module, path: Path): void {
  const branches: number[] = [];
  const supply = addModuleSupply(draft, name, raw, path, branches);
  const inputs = addInputs(draft, name, raw, path, branches);
  const inputNames = inputs.map((input) => input.name);
  const outputs: Output[] = [];
  for (const [outputName, rawOutput] of Object.entries(raw.outputs ?? {})) {
    const where = [...path, 'outputs', outputName];
    const when = readRule(draft, name, rawOutput.when, inputNames, [...where, 'when']);
    outputs.push(addOutput(draft, name, outputName, rawOutput, when, where, branches));
  }
  draft.modules.set(name, { name, supply, inputs, outputs: outputs.map((output) => output.actuator) });
  draft.parts.set(name, {
    name,
    kind: 'module',
    ...(raw.title === undefined ? {} : { title: raw.title }),
    noun: raw.title ?? 'module',
    branches,
    faults: moduleFaults(name, outputs),
    path,
  });
}

/** A module's output, by its name in the file and its place among the actuators. */
interface Output {
  readonly name: string;
  readonly actuator: number;
}

function addModuleSupply(draft: Draft, name: string, raw: Raw.Module, path: Path, branches: number[]) {
  if (raw.supply === undefined) {
    draft.report('key-needed', { part: name, keys: ['supply'] }, path, 'key');
    return { between: [0, 0] as const, atLeast: 0 };
  }
  const where = [...path, 'supply'];
  const between = draft.pair(name, raw.supply.between, [...where, 'between']);
  const stated = draft.quantity(raw.supply['at-least'], 'voltage', [...where, 'at-least'], plausible.voltage);
  const nominal = nominalFor(draft.supplies.values(), stated);
  const ohms = drawOhms(draft, raw.supply, nominal, [...where, 'draws']);
  if (ohms !== undefined) {
    branches.push(
      draft.addBranch({
        name: `${name}.supply`,
        part: name,
        role: 'draw',
        from: between[0],
        to: between[1],
        impedance: { ohms, reactanceOhms: 0, tolerance: moduleTolerance },
      }),
    );
  }
  return { between, atLeast: stated ?? 0.75 * nominal };
}

function drawOhms(draft: Draft, raw: Raw.ModuleSupply, nominal: Volts, path: Path): number | undefined {
  const watts = draft.quantity(raw.draws?.power, 'power', [...path, 'power'], plausible.power);
  const amps = draft.quantity(raw.draws?.current, 'current', [...path, 'current'], plausible.current);
  const ohms = draft.quantity(
    raw.draws?.resistance,
    'resistance',
    [...path, 'resistance'],
    plausible.resistance,
  );
  if (ohms !== undefined) return ohms;
  if (amps !== undefined) return nominal / amps;
  return watts === undefined ? undefined : (nominal * nominal) / watts;
}

function addInputs(
  draft: Draft,
  name: string,
  raw: Raw.Module,
  path: Path,
  branches: number[],
): ModuleInput[] {
  const inputs: ModuleInput[] = [];
  for (const [inputName, rawInput] of Object.entries(raw.inputs ?? {})) {
    const where = [...path, 'inputs', inputName];
    const between = draft.pair(name, rawInput.between, [...where, 'between']);
    const stated = draft.quantity(rawInput['at-least'], 'voltage', [...where, 'at-least'], plausible.voltage);
    const ohms = draft.quantity(
      rawInput.impedance,
      'resistance',
      [...where, 'impedance'],
      plausible.resistance,
    );
    if (ohms !== undefined) {
      branches.push(
        draft.addBranch({
          name: `${name}.${inputName}`,
          part: name,
          role: 'input',
          from: between[0],
          to: between[1],
          impedance: { ohms, reactanceOhms: 0, tolerance: moduleTolerance },
        }),
      );
    }
    inputs.push({
      name: inputName,
      between,
      atLeast: stated ?? 0.75 * nominalFor(draft.supplies.values(), undefined),
    });
  }
  return inputs;
}

function addOutput(
  draft: Draft,
  module: string,
  output: string,
  raw: Raw.ModuleOutput,
  when: Rule,
  path: Path,
  branches: number[],
): Output {
  const actuator = draft.nextActuator;
  const name = `${module}.${output}`;
  let branch: number | undefined;
  if (raw.between !== undefined) {
    const [from, to] = draft.pair(module, raw.between, [...path, 'between']);
    const stated = draft.quantity(
      raw.resistance,
      'resistance',
      [...path, 'resistance'],
      plausible.resistance,
    );
    branch = draft.addBranch({
      name,
      part: module,
      role: 'contact',
      from,
      to,
      impedance: { ohms: stated ?? defaultOhms.contact, reactanceOhms: 0, tolerance: 0 },
      gate: { kind: 'actuator', actuator, closedWhen: true },
    });
    branches.push(branch);
  }
  if (raw.at !== undefined) draft.node(raw.at, [...path, 'at'], module);
  if (raw.between === undefined && raw.job === undefined) {
    draft.report('key-needed', { part: name, keys: ['between', 'job'] }, path, 'key');
  }
  draft.addActuator({
    kind: 'output',
    name,
    part: module,
    output,
    when,
    ...(branch === undefined ? {} : { branch }),
  });
  const job = raw.job ?? `${output} output closes`;
  draft.loads.set(name, { name, part: module, job, does: { kind: 'actuator', actuator } });
  return { name: output, actuator };
}

/** `[a, b]` needs all of them; `any`, `all` and `not` nest. Several keys in one map must all hold. */
function readRule(draft: Draft, module: string, raw: Raw.When, inputs: readonly string[], path: Path): Rule {
  if (typeof raw === 'string') {
    if (!inputs.includes(raw)) draft.unknown('input', raw, inputs, path, module);
    return { kind: 'input', input: raw };
  }
  if (Array.isArray(raw)) {
    return {
      kind: 'all',
      of: raw.map((each, index) => readRule(draft, module, each, inputs, [...path, index])),
    };
  }
  const rules: Rule[] = [];
  for (const key of ['all', 'any'] as const) {
    const list = raw[key];
    if (list === undefined) continue;
    const of = list.map((each, index) => readRule(draft, module, each, inputs, [...path, key, index]));
    rules.push({ kind: key, of });
  }
  if (raw.not !== undefined)
    rules.push({ kind: 'not', of: readRule(draft, module, raw.not, inputs, [...path, 'not']) });
  if (rules.length === 0) draft.report('key-needed', { part: module, keys: ['any', 'all', 'not'] }, path);
  const [only] = rules;
  return rules.length === 1 && only !== undefined ? only : { kind: 'all', of: rules };
}

/** The whole module dead; where it has several outputs, one of them dead; one of them always on. */
function moduleFaults(name: string, outputs: readonly Output[]): Fault[] {
  const off = ({ actuator }: Output) => ({ kind: 'held', actuator, on: false }) as const;
  const faults: Fault[] = [{ part: name, mode: 'dead', changes: outputs.map(off) }];
  for (const output of outputs) {
    if (outputs.length > 1)
      faults.push({ part: name, mode: 'dead', at: output.name, changes: [off(output)] });
    const changes = [{ kind: 'held', actuator: output.actuator, on: true }] as const;
    faults.push({ part: name, mode: 'always-on', at: output.name, changes });
  }
  return faults;
}
