import { chmodSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { processWorld } from '../../src/cli/cli.js';
import { findFiles } from '../../src/cli/find-files.js';

let home = '';
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), 'loadside-'));
});
afterEach(() => rmSync(home, { recursive: true, force: true }));

function put(files: Readonly<Record<string, string>>): void {
  for (const [name, text] of Object.entries(files)) {
    mkdirSync(dirname(join(home, name)), { recursive: true });
    writeFileSync(join(home, name), text);
  }
}

/** Files found and arguments that led nowhere, by their paths below the home folder. */
async function found(...given: string[]) {
  const below = (path: string) => path.replaceAll(`${home}/`, '').replaceAll(home, '.');
  const places = given.map((each) => (each === '-' ? each : `${home}/${each}`));
  const { paths, missing } = await findFiles(processWorld(), places, ['.circuit.yaml', '.circuit.yml']);
  return { paths: paths.map(below), missing: missing.map(({ path, reason }) => `${below(path)}: ${reason}`) };
}

const library = {
  'b.circuit.yaml': '',
  'a.circuit.yml': '',
  'a.readings.yaml': '',
  'notes.yaml': '',
  'ovens/z.circuit.yaml': '',
  'ovens/Z.circuit.yaml': '',
  'ovens/deep/er/x.circuit.yaml': '',
};

describe('a folder', () => {
  test('gives what ends as asked, at any depth, by code units of the path', async () => {
    put(library);
    expect(await found('.')).toEqual({
      paths: [
        'a.circuit.yml',
        'b.circuit.yaml',
        'ovens/Z.circuit.yaml',
        'ovens/deep/er/x.circuit.yaml',
        'ovens/z.circuit.yaml',
      ],
      missing: [],
    });
    expect((await found('ovens/', 'ovens')).paths).toHaveLength(3);
  });

  test('without one is named, also where another argument led somewhere', async () => {
    put({ ...library, 'empty/notes.txt': '' });
    expect(await found('empty', 'b.circuit.yaml', 'gone')).toEqual({
      paths: ['b.circuit.yaml'],
      missing: ['empty: holds no *.circuit.yaml or *.circuit.yml', 'gone: no such file or folder'],
    });
  });

  test('is left where git or npm keep their own', async () => {
    put({ '.git/a.circuit.yaml': '', 'node_modules/m/a.circuit.yaml': '', '.hidden/a.circuit.yaml': '' });
    expect((await found('.')).paths).toEqual(['.hidden/a.circuit.yaml']);
  });

  test('is not followed by a link; a file is, and one that leads nowhere is for the reader to tell', async () => {
    put({ 'real/a.circuit.yaml': '' });
    symlinkSync(join(home, 'real'), join(home, 'linked'));
    symlinkSync(join(home, 'real/a.circuit.yaml'), join(home, 'b.circuit.yaml'));
    symlinkSync(join(home, 'gone'), join(home, 'c.circuit.yaml'));
    symlinkSync(home, join(home, 'real/up'));
    expect((await found('.')).paths).toEqual(['b.circuit.yaml', 'c.circuit.yaml', 'real/a.circuit.yaml']);
    expect((await found('linked')).paths).toEqual(['linked/a.circuit.yaml']);
  });

  // Whoever may do everything may read it all the same.
  test.skipIf(process.getuid?.() === 0)('that may not be read is told, wherever it stands', async () => {
    put({ 'a.circuit.yaml': '', 'shut/b.circuit.yaml': '' });
    chmodSync(join(home, 'shut'), 0);
    expect(await found('.')).toEqual({
      paths: ['a.circuit.yaml'],
      missing: ['shut: may not be read or written by you'],
    });
    chmodSync(join(home, 'shut'), 0o755);
  });
});

describe('a .gitignore', () => {
  test('counts in its folder and below; a deeper one can take a file back', async () => {
    put({
      ...library,
      '.gitignore': 'ovens/deep/\nz.*\n/b.*\n',
      'ovens/.gitignore': '!z.circuit.yaml\n',
      'sub/b.circuit.yaml': '',
    });
    expect((await found('.')).paths).toEqual([
      'a.circuit.yml',
      'ovens/Z.circuit.yaml',
      'ovens/z.circuit.yaml',
      'sub/b.circuit.yaml',
    ]);
  });

  test('above the folder named counts as far up as .git stands, and not beyond', async () => {
    put({ ...library, '.gitignore': 'ovens/z.*\n' });
    expect((await found('ovens')).paths).toContain('ovens/z.circuit.yaml');
    mkdirSync(join(home, '.git'));
    expect((await found('ovens')).paths).not.toContain('ovens/z.circuit.yaml');
  });

  test('has no say about what is named outright, and is told where nothing is left', async () => {
    put({ ...library, '.gitignore': '*.yaml\novens\n', '.git/HEAD': '' });
    expect((await found('b.circuit.yaml')).paths).toEqual(['b.circuit.yaml']);
    expect((await found('ovens')).paths).toHaveLength(3);
    expect((await found('*.yaml')).missing).toEqual([
      '*.yaml: matches no file; what a .gitignore leaves out was not looked at',
    ]);
  });
});

describe('a glob', () => {
  test.each([
    ['*.circuit.yaml', ['b.circuit.yaml']],
    ['*.yaml', ['a.readings.yaml', 'b.circuit.yaml', 'notes.yaml']],
    ['ovens/?.circuit.yaml', ['ovens/Z.circuit.yaml', 'ovens/z.circuit.yaml']],
    ['{a,b}.circuit.*', ['a.circuit.yml', 'b.circuit.yaml']],
    ['ovens/**', ['ovens/Z.circuit.yaml', 'ovens/deep/er/x.circuit.yaml', 'ovens/z.circuit.yaml']],
    ['**', [...Object.keys(library).filter((name) => name.includes('.circuit.'))].sort()],
    ['**/x.*', ['ovens/deep/er/x.circuit.yaml']],
    ['**/[a-c].circuit.y{,a}ml', ['a.circuit.yml', 'b.circuit.yaml']],
  ])('%s', async (glob, paths) => {
    put(library);
    expect(await found(glob)).toEqual({ paths, missing: [] });
  });

  test('takes a folder that it matches like one that is named', async () => {
    put(library);
    expect((await found('ov*')).paths).toHaveLength(3);
    expect((await found('*/de*')).paths).toEqual(['ovens/deep/er/x.circuit.yaml']);
  });

  test('that matches nothing, or starts nowhere, is named', async () => {
    put(library);
    expect((await found('*.csv', 'gone/*.yaml')).missing).toEqual([
      '*.csv: matches no file',
      'gone/*.yaml: matches no file',
    ]);
  });

  test('is no glob where a file is called so, and a leading ! is part of a name', async () => {
    put({ 'a[1].circuit.yaml': '', 'a1.circuit.yaml': '' });
    expect((await found('a[1].circuit.yaml')).paths).toEqual(['a[1].circuit.yaml']);
    const { paths, missing } = await findFiles(processWorld(), ['!a1.circuit.yaml'], ['.yaml']);
    expect([paths, missing]).toEqual([[], [{ path: '!a1.circuit.yaml', reason: 'no such file or folder' }]]);
  });
});

test('each file comes once, whichever ways lead to it, in the order of the arguments', async () => {
  put(library);
  expect((await found('ovens/z.circuit.yaml', './ovens/../b.circuit.yaml', '.', '-')).paths).toEqual([
    'ovens/z.circuit.yaml',
    './ovens/../b.circuit.yaml',
    'a.circuit.yml',
    'ovens/Z.circuit.yaml',
    'ovens/deep/er/x.circuit.yaml',
    '-',
  ]);
});
