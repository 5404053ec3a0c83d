const { main, processWorld } = require('../dist/main.cjs');

// A reader that has seen enough (`| head`) closes the pipe: stop quietly, as if by SIGPIPE.
for (const stream of [process.stdout, process.stderr]) {
  stream.on('error', (error) => {
    if (error.code !== 'EPIPE') throw error;
    process.exit(141);
  });
}

main(process.argv.slice(2), processWorld()).then((status) => {
  process.exitCode = status;
});
