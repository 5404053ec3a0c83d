import type { TerminalStyle } from '../report/report.js';
import type { World } from './world.js';

/** The options every command has that shape human output. */
export interface StyleOptions {
  readonly color?: boolean;
  readonly ascii?: boolean;
  readonly width?: number;
}

/**
 * The one decision on colour, per stream: `--color` or `--no-color`, then NO_COLOR, then FORCE_COLOR (not 0 or
 * false), then a terminal that is not dumb. An empty variable counts as unset.
 */
export function decideColour(chosen: boolean | undefined, env: World['env'], isTerminal: boolean): boolean {
  if (chosen !== undefined) return chosen;
  if (isSet(env['NO_COLOR'])) return false;
  const force = env['FORCE_COLOR'];
  if (isSet(force)) return force !== '0' && force !== 'false';
  return isTerminal && env['TERM'] !== 'dumb';
}

function isSet(value: string | undefined): boolean {
  return value !== undefined && value !== '';
}

/** Lines are folded at the terminal's width, at 80 where there is none. */
export function styleFor(world: World, stream: 'out' | 'err', options: StyleOptions): TerminalStyle {
  const isTerminal = stream === 'out' ? world.outIsTerminal : world.errIsTerminal;
  return {
    level: decideColour(options.color, world.env, isTerminal) ? 1 : 0,
    width: options.width ?? Math.max(40, world.columns || 80),
    ascii: options.ascii ?? needsAscii(world.env),
  };
}

/** A locale that is not UTF-8, or a console that shows boxes for it. */
export function needsAscii(env: World['env']): boolean {
  const locale = [env['LC_ALL'], env['LC_CTYPE'], env['LANG']].find(isSet);
  const plain = locale !== undefined && !/utf-?8/i.test(locale) && locale !== 'C' && locale !== 'POSIX';
  return plain || env['TERM'] === 'linux';
}
