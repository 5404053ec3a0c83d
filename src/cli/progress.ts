import type { OutputOptions } from './deliver.js';
import type { World } from './world.js';

/** How far a long computation is, on one line of standard error that is gone when it ends. */
export interface Progress {
  /** `of` is undefined while nobody knows how many there will be. */
  readonly tell: (done: number, of: number | undefined) => void;
  readonly end: () => void;
}

/** Work that is done sooner is not worth a line. */
const silentMilliseconds = 1000;

/** How often it is told where no share of the whole is known. */
const stepMilliseconds = 500;

/** Nothing is told where no person watches: no terminal, `--quiet`, a build (`CI`), or a terminal that can't go back. */
export function progressOf(world: World, options: OutputOptions, what: string): Progress {
  const { errIsTerminal, env, err, now } = world;
  if (!errIsTerminal || options.quiet === true || env['CI'] || env['TERM'] === 'dumb')
    return { tell: () => {}, end: () => {} };
  const start = now();
  let told = 0;
  return {
    tell: (done, of) => {
      const since = now() - start;
      const step = of === undefined ? Math.floor(since / stepMilliseconds) : Math.floor((100 * done) / of);
      if (step === told || since < silentMilliseconds) return;
      told = step;
      err(`\r${done}${of === undefined ? '' : ` of ${of}`} ${what}${of === undefined ? '' : ` (${step} %)`}`);
    },
    end: () => {
      if (told > 0) err('\r\u001B[K');
    },
  };
}
