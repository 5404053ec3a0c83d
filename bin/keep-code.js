// Run at the end of a build, for each bundle whose code is kept: uses it, so that what usual calls need is compiled, and
// keeps that.
const { renameSync, writeFileSync } = require('node:fs');
const { join } = require('node:path');
const loader = require('./load.js');

const home = join(__dirname, '..');
const example = (name) => join(home, 'examples', name);
const oven = example('wall-oven/wall-oven.circuit.yaml');
const hood = example('range-hood/range-hood.circuit.yaml');

const usual = ['check', example('range-hood/no-fan.readings.yaml')];
const calls = {
  main: [['--version'], ['nowhere'], usual],
  program: [['--help'], ['chekc'], ['check', '--help'], usual],
  everyday: [
    usual,
    ['check', example('wall-oven/lost-leg.readings.yaml'), '--json'],
    ['expect', oven, '--state', 'bake'],
    ['validate', hood],
  ],
  further: [
    ['draw', hood],
    ['sheet', hood],
  ],
};

const withFlags = new Set(['everyday', 'further']);

/** Commands bring flags with them, and V8 refuses code that was kept under other flags than it is loaded with. */
function withoutCommands() {
  const { load } = loader;
  loader.load = (bundle) => (withFlags.has(bundle) ? { runCheck: async () => 0 } : load(bundle));
}

async function keep(name) {
  if (!withFlags.has(name)) withoutCommands();
  const { main, processWorld } = loader.load('main');
  const world = processWorld(home);
  // What writes an answer belongs to what is kept; nobody is to see it.
  const quiet = { ...world, out: name === 'main' ? world.out : () => {}, err: () => {} };
  for (const call of calls[name]) await main(call, quiet);
  const target = join(home, `dist/${name}.code`);
  // Aside first: a run beside this one is to find it whole or not at all.
  writeFileSync(`${target}.${process.pid}`, loader.compiledCode(name));
  renameSync(`${target}.${process.pid}`, target);
}

keep(process.argv[2]);
