const { join } = require('node:path');
const { endProcess, main, processWorld } = require('../dist/main.cjs');

main(process.argv.slice(2), processWorld(join(__dirname, '..'))).then(endProcess);
