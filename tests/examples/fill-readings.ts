/**
 * `npm run readings -- examples/washer/wont-drain.readings.yaml`: writes into a readings file what the meter would show
 * with the faults that the key beside it names, worked out the second way (`second-way.ts`) and with meter noise. What
 * floats keeps the stray voltage that a person wrote; so does what never comes to rest, and what the key says is as written.
 * The files are then laid out as `npm run check` wants them.
 */
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { basename } from 'node:path';
import { isMap, isScalar, isSeq, parseDocument } from 'yaml';
import { displayError, type Reading } from '../../src/meter/meter.js';
import { numbersFrom, seedOf } from '../../src/practice/random.js';
import { examples, type KeyEntry } from './key.js';
import { circuitOf, metIn, takenIn } from './taken.js';

/** Of what a meter may be off, what it is off: most meters are better than they say. */
const usualShare = 0.6;

function written(reading: Reading, value: number, random: () => number): string {
  const { accuracy } = reading.meter;
  const noisy = value + (2 * random() - 1) * usualShare * displayError(accuracy, value);
  const { shown } = reading;
  if (shown.kind === 'value' && shown.unit === 'V') {
    const volts = Number((shown.current === 'dc' || value < 0 ? noisy : Math.max(0, noisy)).toFixed(1));
    return `${volts === 0 ? '0.0' : volts.toFixed(1)} V${shown.current === undefined ? '' : ` ${shown.current}`}`;
  }
  const size = Math.max(0, noisy);
  if (shown.kind === 'value' && shown.unit === 'A') return `${size.toFixed(1)} A`;
  if (size < 1000) return `${size.toFixed(1)} ohm`;
  return size < 1e6
    ? `${Number((size / 1e3).toPrecision(4))} kohm`
    : `${Number((size / 1e6).toPrecision(4))} Mohm`;
}

async function fill(path: string): Promise<void> {
  const [, folder = '', file = ''] = /^examples\/([^/]+)\/([^/]+)$/.exec(path) ?? [];
  const example = examples.find(({ name }) => name === folder);
  const entry: KeyEntry | undefined = example?.files[file];
  if (example === undefined || entry === undefined)
    throw new Error(`${path}: no key names ${basename(path)}`);
  const text = readFileSync(path, 'utf8');
  const taken = await takenIn(circuitOf(example), path, text, entry);
  const document = parseDocument(text);
  const list = document.get('readings');
  if (!isSeq(list)) return;
  const edits: { readonly start: number; readonly end: number; readonly text: string }[] = [];
  for (const reading of taken.job.readings) {
    const item = list.items[reading.index - 1];
    const reads = isMap(item) ? item.get('reads', true) : undefined;
    if (entry.asWritten?.includes(reading.index) || !isScalar(reads) || !reads.range) continue;
    const met = metIn(taken, reading);
    const random = numbersFrom(seedOf(`${path} ${reading.index}`, 1));
    random();
    const shown =
      met.kind === 'shows'
        ? written(reading, met.value, random)
        : met.kind === 'floats' && !(reading.shown.kind === 'value' && reading.shown.unit === 'V')
          ? 'OL'
          : undefined;
    if (shown === undefined)
      process.stdout.write(`${path}: reading ${reading.index} ${met.kind}: kept as written\n`);
    else edits.push({ start: reads.range[0], end: reads.range[1], text: shown });
  }
  const filled = edits.reduceRight(
    (so, { start, end, text: to }) => so.slice(0, start) + to + so.slice(end),
    text,
  );
  writeFileSync(path, filled);
  process.stdout.write(`${path}: ${edits.length} readings\n`);
}

async function run(paths: readonly string[]): Promise<void> {
  for (const path of paths) await fill(path);
  const format = ['node_modules/@biomejs/biome/bin/biome', 'format', '--write', ...paths];
  execFileSync(process.execPath, format, { stdio: ['ignore', 'ignore', 'inherit'] });
}

void run(process.argv.slice(2));
