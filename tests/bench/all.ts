/**
 * Every workload, each in a process of its own, as ratios to a reference that runs beside it; held against the figures
 * of an earlier run (`ratios.json`), which it warns of and never fails on. `npm run bench` takes some ten minutes;
 * `npm run bench -- all write` keeps its figures and puts them into docs/speed.md.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { figure, isMet, type Ratio } from './ratios.js';

const workloads: readonly (readonly [title: string, name: string, ...args: string[]])[] = [
  ['Start-up', 'start'],
  ['States', 'solve'],
  ['Faults', 'faults'],
  ['Reading space', 'screen'],
  ['Batch', 'batch', 'count=10000'],
  ['Scale', 'scale'],
];

const kept = 'tests/bench/ratios.json';
const page = 'docs/speed.md';
/** Worse than this of what it was, and than all of its rounds then, is worth a look. */
const worse = 1.25;

type Figures = Record<string, readonly Ratio[]>;

function measure(): Figures {
  const folder = mkdtempSync(join(tmpdir(), 'loadside-bench-'));
  try {
    return Object.fromEntries(
      workloads.map(([title, name, ...args]) => {
        console.log(`\n${title}`);
        spawnSync(process.execPath, ['tests/run.mjs', 'bench', name, ...args], {
          stdio: 'inherit',
          env: { ...process.env, LOADSIDE_RATIOS: folder },
        });
        const file = join(folder, `${name}.json`);
        return [title, existsSync(file) ? (JSON.parse(readFileSync(file, 'utf8')) as Ratio[]) : []];
      }),
    );
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function compare(before: Figures, now: Figures): void {
  const keyOf = ({ what, of }: Ratio) => `${what}, ${of}`;
  const then = new Map(Object.values(before).flatMap((all) => all.map((each) => [keyOf(each), each])));
  for (const each of Object.values(now).flat()) {
    const old = then.get(keyOf(each));
    if (old === undefined) continue;
    const isWorse =
      each.better === 'less'
        ? each.median > worse * old.median && each.median > old.most
        : each.median < old.median / worse && each.median < old.least;
    if (isWorse)
      console.log(`warning: ${each.what}: ${figure(each.median)} ${each.of}, was ${figure(old.median)}`);
  }
}

function tableOf(figures: Figures): string {
  const rows = Object.entries(figures).flatMap(([title, all]) =>
    all.map((each) => {
      const met = isMet(each);
      const bar =
        met === undefined
          ? ''
          : `${each.better === 'less' ? 'at most' : 'at least'} ${each.bar}: ${met ? 'met' : 'missed'}`;
      const ends = `${figure(each.least)} to ${figure(each.most)}`;
      return `| ${title} | ${each.what} | ${figure(each.median)} ${each.of} | ${ends} | ${bar} |`;
    }),
  );
  return ['| | workload | median | rounds | bar |', '|---|---|---|---|---|', ...rows].join('\n');
}

function run(): void {
  const figures = measure();
  const before = existsSync(kept) ? (JSON.parse(readFileSync(kept, 'utf8')) as Figures) : undefined;
  console.log('');
  if (before !== undefined) compare(before, figures);
  if (before !== undefined && !process.argv.includes('write')) return;
  const threeDigits = (_: string, value: unknown) =>
    typeof value === 'number' ? Number(value.toPrecision(3)) : value;
  writeFileSync(kept, `${JSON.stringify(figures, threeDigits, 2)}\n`);
  const text = readFileSync(page, 'utf8');
  writeFileSync(page, text.replace(/^\| \|[\s\S]*?(?=\n\n)/m, tableOf(figures)));
  console.log(`kept in ${kept} and ${page}`);
}

run();
