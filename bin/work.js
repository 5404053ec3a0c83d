// What a worker of `batch` runs: the commands, with the machine code that was kept of them.
const { answerJobs } = require('./load-commands.js');

module.exports = { answerJobs };
