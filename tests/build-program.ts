import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** Once for all test files that run the program as it is installed: dist/ is then that of these sources. */
export function setup(): void {
  execFileSync(process.execPath, [fileURLToPath(new URL('../bin/build.mjs', import.meta.url))]);
}
