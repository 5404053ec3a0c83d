// Loads a bundle with the machine code that V8 kept of it when it was built (bin/keep-code.js): a cold start is then a
// fifth shorter. Code kept by another version of Node, or under other flags, is refused by V8 and made anew.
const { readFileSync } = require('node:fs');
const { join } = require('node:path');
const { Script } = require('node:vm');

const dist = join(__dirname, '../dist');
const scripts = new Map();

/**
 * What a bundle exports. Its file is a function of what a module is given and of this loader, in ASCII, which is read
 * fastest as Latin-1.
 */
function load(name) {
  if (name === 'everyday' || name === 'further') optimiseLater();
  const filename = join(dist, `${name}.cjs`);
  const script = new Script(readFileSync(filename, 'latin1'), { filename, cachedData: keptCode(name) });
  scripts.set(name, script);
  const loaded = { exports: {} };
  // bin and dist stand side by side: what is required from here is found from there.
  script.runInThisContext()(loaded.exports, require, loaded, filename, dist, (other) => exports.load(other));
  return loaded.exports;
}

/**
 * A command lasts a tenth of a second: optimising its functions after as few calls as usual costs more than it gives
 * (measured: a quarter of the run). What goes on for longer, a batch, gets what V8 has by itself, and a seventh of its time
 * back (measured: 15 %). Help needs none of that, and node:v8 brings streams with it.
 */
function optimiseLater() {
  const { setFlagsFromString } = require('node:v8');
  setFlagsFromString('--interrupt-budget=600000');
  setTimeout(() => setFlagsFromString('--interrupt-budget=67584'), 500).unref();
}

function keptCode(name) {
  try {
    return readFileSync(join(dist, `${name}.code`));
  } catch {
    return undefined;
  }
}

/** The code of a bundle as it stands, with every function that has run so far; for bin/keep-code.js. */
const compiledCode = (name) => scripts.get(name).createCachedData();

/** The program, with the arguments of this process. */
function start() {
  const { endProcess, main, processWorld } = load('main');
  main(process.argv.slice(2), processWorld(join(__dirname, '..'))).then(endProcess);
}

Object.assign(exports, { load, compiledCode, start });
