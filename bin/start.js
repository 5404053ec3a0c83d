const { join } = require('node:path');
const { main, processWorld } = require('../dist/main.cjs');

// A reader that has seen enough (`| head`) closes the pipe: stop quietly, as if by SIGPIPE.
for (const stream of [process.stdout, process.stderr]) {
  stream.on('error', (error) => {
    if (error.code === 'EPIPE') process.exit(141);
    process.stderr.write(`loadside: the answer can't be written (${error.code ?? 'unknown reason'}).\n`);
    process.exit(2);
  });
}

main(process.argv.slice(2), processWorld(join(__dirname, '..'))).then((status) => {
  process.exitCode = status;
});
