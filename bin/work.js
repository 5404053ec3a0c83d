// What a worker of `batch` runs: the commands, with the machine code that was kept of them.
const { load } = require('./load.js');

module.exports = { answerJobs: load('everyday').answerJobs };
