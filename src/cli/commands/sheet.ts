import { dirname, isAbsolute, relative } from 'node:path';
import type { Circuit, Load, State } from '../../circuit/circuit.js';
import {
  derivePins,
  listReconnections,
  makeSheet,
  reconnectable,
  type SheetAnswer,
} from '../../diagnose/diagnose.js';
import {
  asHtml,
  asMarkdown,
  asText,
  blankCsv,
  blankYaml,
  clean,
  type SheetParts,
  sheetJson,
  sheetPaper,
} from '../../report/report.js';
import { deliver, deliverUnusable, hint, type OutputOptions, refuse, refuseName } from '../deliver.js';
import { type ExitStatus, exitStatus } from '../exit-status.js';
import { stateFromOptions, stateOptions } from '../state-option.js';
import { withCircuit } from '../with-circuit.js';
import type { World } from '../world.js';

export interface SheetOptions extends OutputOptions {
  readonly load: readonly string[];
  readonly state: readonly string[];
  readonly part: readonly string[];
  readonly pins?: boolean;
}

export async function runSheet(world: World, path: string, options: SheetOptions): Promise<ExitStatus> {
  return withCircuit(world, path, 'sheet', options, async (circuit, inputs) => {
    const loads = readLoads(world, circuit, options);
    if (loads === undefined || !haveParts(world, circuit, options.part)) return exitStatus.unusable;
    const given = options.state.length === 0 ? undefined : stateFromOptions(circuit, options.state);
    if (given !== undefined && given.problems.length > 0) {
      const unusable = { problems: given.problems, more: 0, unreadable: false, inputs };
      return deliverUnusable(world, options, 'sheet', unusable);
    }
    const parts = sheetParts(circuit, path, loads, given?.state, options);
    const { worksheet } = parts;
    const csv = worksheet === undefined ? undefined : blankCsv(worksheet, inCell);
    const isReadings = options.format === 'yaml' || options.format === 'csv';
    if (isReadings && worksheet === undefined)
      return refuse(
        world,
        'a readings file is of loads.',
        'Name one: --load LOAD; or leave --part and --pins out.',
      );
    if (options.format === 'csv' && csv !== undefined && 'state' in csv)
      return refuse(world, 'a state of this sheet has a past that CSV can not tell.', 'Take --format yaml.');
    const paper = () => sheetPaper(parts);
    await deliver(world, options, 'sheet', inputs, {
      table: (style) => asText(paper(), style),
      json: () => sheetJson(parts),
      markdown: () => asMarkdown(paper()),
      html: () => asHtml(paper()),
      ...(worksheet === undefined
        ? {}
        : { yaml: () => blankYaml(worksheet, circuitBeside(path, options.output)) }),
      ...(csv !== undefined && 'text' in csv ? { csv: () => csv.text } : {}),
    });
    if (options.format === 'table' && !isAsked(options))
      hint(world, options, 'To print it: --format html --output sheet.html. One load alone: --load LOAD.');
    return exitStatus.agrees;
  });
}

/** Whether one piece was asked for by name; else there are the worksheet of all loads and the pin table. */
function isAsked({ load, part, pins }: SheetOptions): boolean {
  return load.length + part.length > 0 || pins === true;
}

/** Undefined, and told, when one is no load of this circuit. */
function readLoads(world: World, circuit: Circuit, options: SheetOptions): readonly Load[] | undefined {
  const all = [...circuit.loads.values()];
  const loads: Load[] = [];
  for (const name of options.load) {
    const load = circuit.loads.get(name);
    if (load === undefined) {
      refuseName(world, 'load with a job', name, [...circuit.loads.keys()]);
      return undefined;
    }
    if (!loads.includes(load)) loads.push(load);
  }
  return isAsked(options) ? loads : all;
}

function haveParts(world: World, circuit: Circuit, names: readonly string[]): boolean {
  const known = reconnectable(circuit);
  const unknown = names.find((name) => !known.includes(name));
  if (unknown !== undefined) refuseName(world, 'part that can be replaced', unknown, known);
  return unknown === undefined;
}

function sheetParts(
  circuit: Circuit,
  path: string,
  loads: readonly Load[],
  state: State | undefined,
  options: SheetOptions,
): SheetParts {
  const reconnect = [...new Set(options.part)].map((part) => listReconnections(circuit, part));
  const [part] = options.part;
  const pins =
    options.pins === true || !isAsked(options)
      ? derivePins(circuit)
      : part !== undefined && circuit.modules.has(part)
        ? derivePins(circuit, part)
        : undefined;
  const worksheet: SheetAnswer | undefined =
    loads.length === 0 && isAsked(options) ? undefined : makeSheet(circuit, loads, state);
  return {
    title: circuit.title,
    ...(worksheet === undefined ? {} : { worksheet, blankCommand: blankCommand(path, options) }),
    reconnect,
    ...(pins === undefined ? {} : { pins }),
  };
}

function blankCommand(path: string, { load, state }: SheetOptions): string {
  const words = [...load.flatMap((each) => ['--load', each]), ...state.flatMap((each) => ['--state', each])];
  return clean(['loadside', 'sheet', path, ...words, '--format', 'yaml', '--output', 'FILE'].join(' '));
}

/** The circuit as a readings file beside `output` would name it; undefined where it came by standard input. */
function circuitBeside(circuit: string, output: string | undefined): string | undefined {
  if (circuit === '-') return undefined;
  if (output === undefined || output === '-' || isAbsolute(circuit)) return circuit;
  return relative(dirname(output), circuit).replaceAll('\\', '/');
}

function inCell(state: State): string | undefined {
  const options = stateOptions(state);
  return options?.join(';');
}
