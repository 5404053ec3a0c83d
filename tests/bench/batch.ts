/**
 * Generated readings through `batch`, as files and as lines of standard input, with one worker and with two: jobs a
 * second, the whole run as a multiple of `node -e 0`, CPU time, and the most memory it had.
 * `npm run bench -- batch [EXAMPLE] [count=1000] [most=2] [seed=1]`. Without an example it is a heated towel rail.
 */
import { spawn, spawnSync } from 'node:child_process';
import {
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join, resolve } from 'node:path';
import { numbersFrom, seedOf } from '../../src/practice/random.js';
import { readArguments } from './example-circuits.js';
import { type Ratio, report, spreadOf } from './ratios.js';

interface Sample {
  readonly circuit: string;
  readonly texts: readonly string[];
}

/** The circuit and readings of an example, or those the README shows, copied into the folder. */
function sampleIn(folder: string, example: string | undefined): Sample {
  if (example === undefined) {
    const shown = [...readFileSync('README.md', 'utf8').matchAll(/^```yaml\n# (\S+)\n([\s\S]*?)^```$/gm)];
    const [circuit, readings] = shown.map(([, , body = '']) => body);
    writeFileSync(join(folder, 'towel-rail.circuit.yaml'), circuit ?? '');
    const sound = (readings ?? '')
      .replace('reads: 0.1 V', 'reads: 230.5 V')
      .replace('OL', '0.1 ohm')
      .replace('works: no', 'works: yes');
    return { circuit: 'towel-rail.circuit.yaml', texts: [readings ?? '', sound, sound] };
  }
  const home = join('examples', example);
  copyFileSync(join(home, `${example}.circuit.yaml`), join(folder, `${example}.circuit.yaml`));
  const texts = readdirSync(home)
    .filter((name) => name.endsWith('.readings.yaml'))
    .map((name) => readFileSync(join(home, name), 'utf8'));
  return { circuit: `${example}.circuit.yaml`, texts };
}

/** The same readings on another day: each value a little off, and no outlet measured. */
function another(text: string, random: () => number): string {
  return text.replace(/^supply:.*\n/m, '').replace(/reads: (\d+(?:\.\d+)?) (V|ohm)/g, (_all, value, unit) => {
    const moved = Number(value) * (1 + (random() - 0.5) * 0.004);
    return `reads: ${moved.toFixed(1)} ${unit}`;
  });
}

/** What stands in a bar is for so many jobs. */
const barCount = 10_000;
const forms = [
  { form: 'files', call: 'batch visits', bar: 40 },
  { form: 'lines', call: 'batch - < jobs.ndjson', bar: 20 },
] as const;

interface Cost {
  readonly seconds: number;
  readonly cpu: number;
  readonly megabytes: number;
  readonly said: string;
}

/** A whole run; the memory it had at most is read while it lasts, which Linux alone tells. */
async function costOf(command: string, cwd: string): Promise<Cost> {
  const child = spawn('bash', ['-c', `TIMEFORMAT='%R %U %S'; time ${command}`], {
    cwd,
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let said = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    said += text;
  });
  let kilobytes = 0;
  const watch = setInterval(() => {
    const own = spawnSync('pgrep', ['-P', String(child.pid)], { encoding: 'utf8' })
      .stdout.trim()
      .split('\n')[0];
    try {
      kilobytes = Math.max(
        kilobytes,
        Number(/VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${own}/status`, 'utf8'))?.[1] ?? 0),
      );
    } catch {
      // Ended, or another system.
    }
  }, 250);
  await new Promise((done) => child.on('close', done));
  clearInterval(watch);
  const [seconds = 0, user = 0, system = 0] = (/([\d.]+) ([\d.]+) ([\d.]+)\n$/.exec(said) ?? [])
    .slice(1)
    .map(Number);
  return { seconds, cpu: user + system, megabytes: kilobytes / 1024, said: said.split('\n').at(-3) ?? '' };
}

async function emptyRun(): Promise<Cost> {
  const runs: Cost[] = [];
  for (let k = 0; k < 7; k += 1) runs.push(await costOf(`${process.execPath} -e 0`, '.'));
  return runs.sort((a, b) => a.seconds - b.seconds)[3]!;
}

async function measure(): Promise<void> {
  const { only, numbers } = readArguments({ count: 1_000, most: 2, seed: 1 });
  const { count = 0, most = 0, seed = 1 } = numbers;
  const folder = mkdtempSync(join(tmpdir(), 'loadside-bench-'));
  try {
    const { circuit, texts } = sampleIn(folder, only);
    const random = numbersFrom(seedOf(`batch ${circuit}`, seed));
    mkdirSync(join(folder, 'visits'));
    const lines: string[] = [];
    let bytes = 0;
    for (let number = 0; number < count; number += 1) {
      const text = another(texts[number % texts.length]!, random).replace(
        /circuit: \S+/,
        `circuit: ../${circuit}`,
      );
      bytes += text.length;
      writeFileSync(join(folder, 'visits', `${String(number).padStart(6, '0')}.readings.yaml`), text);
      lines.push(`${JSON.stringify({ id: number, circuit, readings: text })}\n`);
    }
    writeFileSync(join(folder, 'jobs.ndjson'), lines.join(''));
    const empty = await emptyRun();
    console.log(
      `${count} jobs on ${basename(circuit)}, ${Math.round(bytes / count)} bytes each; node -e 0: ${(empty.seconds * 1000).toFixed(0)} ms, ${(empty.cpu * 1000).toFixed(0)} ms of CPU`,
    );
    const bin = `${process.execPath} ${resolve('bin/loadside.js')}`;
    const ratios: Ratio[] = [];
    for (const { form, call, bar } of forms) {
      const alone = new Map<number, number>();
      for (let workers = 1; workers <= most; workers += 1) {
        const { seconds, cpu, megabytes, said } = await costOf(`${bin} ${call} -j ${workers}`, folder);
        alone.set(workers, seconds);
        const gain =
          workers === 1 ? '' : `, ${((alone.get(1) ?? 0) / seconds).toFixed(2)} times as fast as one`;
        console.log(
          `${form}, ${workers} at once: ${(count / seconds).toFixed(0)} a second, ${(seconds / empty.seconds).toFixed(0)} x node -e 0, ${(cpu / empty.cpu).toFixed(0)} x its CPU (${((1000 * cpu) / count).toFixed(1)} ms a job), at most ${megabytes.toFixed(0)} MB${gain}`,
        );
        console.log(`  ${said}`);
        ratios.push({
          what: `${count} jobs as ${form}, ${workers} at once`,
          of: 'x node -e 0',
          ...spreadOf([seconds / empty.seconds]),
          ...(count === barCount ? { bar } : {}),
          better: 'less',
        });
      }
    }
    report('batch', ratios);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

void measure();
