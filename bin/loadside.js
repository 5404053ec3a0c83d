#!/usr/bin/env node
// Plain old syntax: an old Node must be able to read this far and be told.
if (Number(process.versions.node.split('.')[0]) < 20) {
  process.stderr.write(`loadside needs Node 20 or newer; this is ${process.versions.node}.\n`);
  process.exitCode = 2;
} else {
  require('./load.js').start();
}
