// Run at the end of a build: uses the commands once, so that what a usual run needs is compiled, and keeps that.
const { renameSync, writeFileSync } = require('node:fs');
const { join } = require('node:path');
const { processWorld } = require('../dist/main.cjs');
const commands = require('./load-commands.js');

const example = (name) => join(__dirname, '../examples', name);
const silent = { ...processWorld(), out: () => {}, err: () => {} };

async function useOnce() {
  await commands.runCheck(silent, example('range-hood/no-fan.readings.yaml'), { format: 'table' });
  await commands.runCheck(silent, example('wall-oven/lost-leg.readings.yaml'), { format: 'json' });
  await commands.runExpect(silent, example('wall-oven/wall-oven.circuit.yaml'), {
    format: 'table',
    state: ['bake'],
    fault: [],
    disconnect: [],
    unplug: [],
    input: 'high',
  });
  await commands.runValidate(silent, [example('range-hood/range-hood.circuit.yaml')], { format: 'table' });
}

useOnce().then(() => {
  const target = join(__dirname, '../dist/commands.code');
  // Aside first: a run beside this one is to find it whole or not at all.
  writeFileSync(`${target}.${process.pid}`, commands.compiledCode());
  renameSync(`${target}.${process.pid}`, target);
});
