import { asciiOnly, cleanLine } from '../../report/report.js';
import type { Wiring } from '../command.js';
import { makeProgram } from '../program.js';
import { needsAscii } from '../terminal.js';
import type { World } from '../world.js';
import type { Candidate } from './candidate.js';
import { complete } from './complete.js';

/**
 * Answers a completion script. Its words are those behind the program's name as far as the cursor; the last one, which
 * may be empty, has a colon before it, for some shells drop an empty argument. The answer is a line that says `files`
 * (the shell completes those best) or `words`, then a word a line, a tab and what it is. Nothing of a circuit file
 * gets out as anything but harmless text on one line.
 */
export async function runComplete(given: readonly string[], wiring: Wiring): Promise<void> {
  const { world, everyday } = wiring;
  const words = [...given.slice(0, -1), (given.at(-1) ?? ':').replace(/^:/, '')];
  const answer = await complete(makeProgram(wiring), words, async (files, kind, typed) => {
    const named = files.filter((file) => file !== '-').map((file) => inHome(world, file));
    return (await everyday()).circuitNames(world, named, kind, typed);
  });
  const candidates = answer.kind === 'words' ? answer.candidates.map(lineOf) : [];
  const text = `${[answer.kind, ...candidates].join('\n')}\n`;
  world.out(needsAscii(world.env) ? asciiOnly(text) : text);
}

/** The shell has not yet put the folder of the user in place of `~`. */
function inHome({ env }: World, file: string): string {
  const home = env['HOME'] ?? env['USERPROFILE'];
  return home === undefined ? file : file.replace(/^~(?=[/\\])/, home);
}

function lineOf({ text, about }: Candidate): string {
  return about === undefined ? text : `${text}\t${cleanLine(about, 80)}`;
}
