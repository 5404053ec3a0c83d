/** The parts of examples/README.md that are made from circuits, keys and figures, in Markdown. */
import type { Circuit, Supply } from '../../src/circuit/circuit.js';
import type { Figures } from './figures.js';
import type { Example } from './key.js';

/** An example with all that is told of it. */
export interface Told {
  readonly example: Example;
  readonly circuit: Circuit;
  readonly figures: Figures;
}

/** By the name of the markers that they stand between. */
export const generatedParts: Readonly<Record<string, (all: readonly Told[]) => string>> = {
  circuits: (all) => table(['circuit', 'supply', 'nodes', 'parts', ...figureTitles], all.map(circuitRow)),
  readings: (all) => table(['circuit', 'readings files'], all.map(filesRow)),
  alike: (all) => list(all, ({ example, circuit }) => [`**${circuit.title}.** ${example.alike}`]),
  facts: (all) => nested(all, ({ example }) => example.facts),
  mistakes: (all) =>
    nested(all, ({ example }) =>
      Object.entries(example.files).flatMap(([file, { mistake }]) =>
        mistake === undefined ? [] : [`${mistake} (${link(example, file)})`],
      ),
    ),
};

const figureTitles = ['faults', 'show', 'isolable', 'hunted', '`next`', 'half-split'];

/** A text with its generated parts written anew; throws where a marker is missing. */
export function withGenerated(text: string, all: readonly Told[]): string {
  return Object.entries(generatedParts).reduce((so, [name, make]) => {
    const [start, end] = [`<!-- generated: ${name} -->\n`, '<!-- end -->'];
    const from = so.indexOf(start) + start.length;
    const to = so.indexOf(end, from);
    if (from < start.length || to === -1) throw new Error(`no ${start.trim()} with its ${end}`);
    return `${so.slice(0, from)}\n${make(all)}\n${so.slice(to)}`;
  }, text);
}

function circuitRow({ example, circuit, figures }: Told): string[] {
  const { faults, detectable, isolable, hunted, byNext, byHalfSplit } = figures;
  return [
    `[${circuit.title}](${example.name}/${example.name}.circuit.yaml)`,
    [...circuit.supplies.values()].map(supplyText).join('; '),
    ...[circuit.nodes.length, circuit.parts.size, faults].map(String),
    percent(detectable, faults),
    percent(isolable, faults),
    String(hunted),
    byNext.toFixed(1),
    byHalfSplit.toFixed(1),
  ];
}

function filesRow({ example, circuit }: Told): string[] {
  const files = Object.entries(example.files).map(
    ([file, entry]) => `${link(example, file)} (${entry.class === 'none' ? 'sound' : entry.class})`,
  );
  return [circuit.title, files.join(', ')];
}

function link({ name }: Example, file: string): string {
  return `[${file.replace(/\.readings\.(?:yaml|csv)$/, '')}](${name}/${file})`;
}

function supplyText({ system, volts, hertz }: Supply): string {
  if (system === 'dc') return `${volts} V dc`;
  const legs = {
    'single-phase': `${volts} V`,
    'split-phase': `${volts}/${2 * volts} V split`,
    'three-phase': `${volts} V three-phase`,
  };
  return `${legs[system]}, ${hertz} Hz`;
}

/** Never rounded up, as `loadside faults` tells it. */
function percent(some: number, all: number): string {
  return `${Math.floor((100 * some) / all)} %`;
}

function table(titles: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]) => `| ${cells.join(' | ')} |\n`;
  return [titles, titles.map(() => '---'), ...rows].map(line).join('');
}

function list(all: readonly Told[], lines: (told: Told) => readonly string[]): string {
  return all
    .flatMap(lines)
    .map((text) => `- ${text}\n`)
    .join('');
}

function nested(all: readonly Told[], lines: (told: Told) => readonly string[]): string {
  return all
    .filter((told) => lines(told).length > 0)
    .map(
      (told) =>
        `- **${told.circuit.title}**\n${lines(told)
          .map((text) => `  - ${text}\n`)
          .join('')}`,
    )
    .join('');
}
