/**
 * `npm run -s examples`: writes the generated parts of examples/README.md anew. Figures that take long are worked out for
 * circuits that changed only, and kept in figures.json; `npm run -s examples -- dryer washer` works out these as well, and
 * `-- all` all of them, as is due after a change of the reasoning, in some ten minutes.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { digestOf, type Figures, figuresOf, figuresPath, keptFigures, readmePath } from './figures.js';
import { examples } from './key.js';
import { withGenerated } from './tables.js';
import { circuitOf } from './taken.js';

const asked = process.argv.slice(2);
const kept = keptFigures();
const figures: Record<string, Figures> = {};
const told = examples.map((example) => {
  const { name, circuitPath } = example;
  const circuit = circuitOf(example);
  const known = kept[name];
  const isAsked = asked.includes('all') || asked.includes(name);
  const isFresh = !isAsked && known !== undefined && known.digest === digestOf(circuitPath);
  const found = isFresh ? known : figuresOf(circuit, circuitPath);
  if (!isFresh) process.stderr.write(`${name}: ${JSON.stringify(found)}\n`);
  figures[name] = found;
  return { example, circuit, figures: found };
});
writeFileSync(figuresPath, `${JSON.stringify(figures, undefined, 2)}\n`);
writeFileSync(readmePath, withGenerated(readFileSync(readmePath, 'utf8'), told));
