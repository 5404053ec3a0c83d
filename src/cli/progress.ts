import type { OutputOptions } from './deliver.js';
import type { World } from './world.js';

/** How far a long computation is, on one line of standard error that is gone when it ends. */
export interface Progress {
  readonly tell: (done: number, of: number) => void;
  readonly end: () => void;
}

/** Work that is done sooner is not worth a line. */
const silentMilliseconds = 1000;

/** Nothing is told where no person watches: no terminal, `--quiet`, a build (`CI`), or a terminal that can't go back. */
export function progressOf(world: World, options: OutputOptions, what: string): Progress {
  const { errIsTerminal, env, err, now } = world;
  if (!errIsTerminal || options.quiet === true || env['CI'] || env['TERM'] === 'dumb')
    return { tell: () => {}, end: () => {} };
  const start = now();
  let told = 0;
  return {
    tell: (done, of) => {
      const percent = Math.floor((100 * done) / of);
      if (percent === told || now() - start < silentMilliseconds) return;
      told = percent;
      err(`\r${done} of ${of} ${what} (${percent} %)`);
    },
    end: () => {
      if (told > 0) err('\r\u001B[K');
    },
  };
}
