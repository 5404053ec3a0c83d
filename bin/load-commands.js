// Loads the commands with the machine code that V8 kept of them when they were built (bin/keep-code.js): a cold start
// is then a fifth shorter. Code kept by another version of Node, or under other flags, is refused by V8 and made anew.
const { readFileSync } = require('node:fs');
const { createRequire, wrap } = require('node:module');
const { dirname, join } = require('node:path');
const { setFlagsFromString } = require('node:v8');
const { Script } = require('node:vm');

// A command lasts a tenth of a second: optimising its functions after as few calls as usual costs more than it gives
// (measured: a quarter of the run). Long runs still get there, a little later.
setFlagsFromString('--interrupt-budget=600000');

const filename = join(__dirname, '../dist/commands.cjs');

function keptCode() {
  try {
    return readFileSync(join(__dirname, '../dist/commands.code'));
  } catch {
    return undefined;
  }
}

const script = new Script(wrap(readFileSync(filename, 'utf8')), { filename, cachedData: keptCode() });
const loaded = { exports: {} };
script.runInThisContext()(loaded.exports, createRequire(filename), loaded, filename, dirname(filename));

module.exports = loaded.exports;
/** The code as it stands, with every function that has run so far; for bin/keep-code.js. */
Object.defineProperty(module.exports, 'compiledCode', { value: () => script.createCachedData() });
