import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, expect, test } from 'vitest';

const { putInPlace } = await import(
  pathToFileURL(join(import.meta.dirname, '../../bin/put-in-place.mjs')).href
);

const root = mkdtempSync(join(tmpdir(), 'loadside-put-'));
afterAll(() => rmSync(root, { recursive: true }));

/** A folder with these files, all as old as each other. */
function folder(name: string, files: Readonly<Record<string, string>>): string {
  const path = join(root, name);
  for (const [file, text] of Object.entries(files)) {
    mkdirSync(join(path, file, '..'), { recursive: true });
    writeFileSync(join(path, file), text);
    utimesSync(join(path, file), 1_000, 1_000);
  }
  return path;
}

test('a build takes the place of the one before it file by file, and nothing is ever missing', () => {
  const dist = folder('dist', { 'main.cjs': 'old', 'same.cjs': 'same', 'gone.cjs': 'x', 'kept.code': 'x' });
  const before = statSync(join(dist, 'same.cjs')).ino;
  const finished = folder('dist.tmp', { 'main.cjs': 'new', 'same.cjs': 'same', 'types/a.d.ts': 'a' });
  const changed: string[] = [];
  putInPlace(finished, dist, {
    beforeEach: (file: string) => {
      changed.push(file);
      expect(readdirSync(dist)).toContain('main.cjs');
    },
    isKept: (file: string) => file === 'kept.code',
  });
  expect(changed.sort()).toEqual(['main.cjs', join('types', 'a.d.ts')]);
  expect(readdirSync(dist).sort()).toEqual(['kept.code', 'main.cjs', 'same.cjs', 'types']);
  expect(readFileSync(join(dist, 'main.cjs'), 'utf8')).toBe('new');
  expect(statSync(join(dist, 'same.cjs')).ino).toBe(before);
});
