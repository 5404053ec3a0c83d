// Run at the end of a build, for each bundle whose code is kept: uses it, so that what usual calls need is compiled, and
// keeps that.
const { renameSync, writeFileSync } = require('node:fs');
const { join } = require('node:path');
const { main, processWorld } = require('../dist/main.cjs');
const loader = require('./load.js');

const home = join(__dirname, '..');
const example = (name) => join(home, 'examples', name);
const oven = example('wall-oven/wall-oven.circuit.yaml');
const hood = example('range-hood/range-hood.circuit.yaml');

const calls = {
  program: [
    ['--help'],
    ['chekc'],
    ['check', '--help'],
    ['check', example('range-hood/no-fan.readings.yaml')],
  ],
  everyday: [
    ['check', example('range-hood/no-fan.readings.yaml')],
    ['check', example('wall-oven/lost-leg.readings.yaml'), '--json'],
    ['expect', oven, '--state', 'bake'],
    ['validate', hood],
  ],
  further: [
    ['draw', hood],
    ['sheet', hood],
  ],
};

/** Commands bring flags with them, under which V8 would keep other code for the arguments than it finds at a start. */
function withoutCommands() {
  const { load } = loader;
  loader.load = (bundle) => (bundle === 'program' ? load(bundle) : { runCheck: async () => 0 });
}

async function keep(name) {
  if (name === 'program') withoutCommands();
  const silent = { ...processWorld(home), out: () => {}, err: () => {} };
  for (const call of calls[name]) await main(call, silent);
  const target = join(home, `dist/${name}.code`);
  // Aside first: a run beside this one is to find it whole or not at all.
  writeFileSync(`${target}.${process.pid}`, loader.compiledCode(name));
  renameSync(`${target}.${process.pid}`, target);
}

keep(process.argv[2]);
