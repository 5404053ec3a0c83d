import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';

/**
 * Makes a folder hold what a finished one beside it holds, file by file: each is replaced whole by a rename, never
 * missing and never half written, and one that is the same already is left as it is. So a program that starts, or runs,
 * while it is built anew finds all its files. `beforeEach` is told of a file about to change; what `isKept` names stays.
 */
export function putInPlace(finished, folder, { beforeEach, isKept }) {
  const files = filesBelow(finished);
  for (const file of files) {
    const target = join(folder, file);
    if (isSame(join(finished, file), target)) continue;
    beforeEach(file);
    mkdirSync(dirname(target), { recursive: true });
    renameSync(join(finished, file), target);
  }
  const wanted = new Set(files);
  for (const file of filesBelow(folder)) {
    if (!wanted.has(file) && !isKept(file)) rmSync(join(folder, file), { force: true });
  }
}

function filesBelow(folder) {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)));
}

function isSame(one, other) {
  try {
    return readFileSync(one).equals(readFileSync(other));
  } catch {
    return false;
  }
}
