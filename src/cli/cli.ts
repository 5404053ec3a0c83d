/** The cli floor: argv to exit status. */
export { main } from './main.js';
export { endProcess } from './process-output.js';
export { processWorld } from './process-world.js';
