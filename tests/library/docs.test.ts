/** Every example in docs/library.md, run as it stands, with the package as it is installed. */
import { execFile } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import ts from 'typescript';
import { afterAll, describe, expect, test } from 'vitest';
import { textOf } from '../cli/example-files.js';
import { consumerFolder } from './installed.js';

const page = textOf('docs/library.md');
const examples = [...page.matchAll(/^```js\n\/\/ (\S+)\n([\s\S]*?)^```\n\n```text\n([\s\S]*?)^```$/gm)].map(
  ([, name = '', code = '', output = '']) => ({ name, code, output }),
);
const typed = [...page.matchAll(/^```ts\n([\s\S]*?)^```$/gm)].map(([, code = '']) => code).join('');

const user = consumerFolder();
afterAll(user.remove);

describe('examples', () => {
  test('are all of them', () => {
    expect(examples.map(({ name }) => name)).toEqual(['expect.mjs', 'check.mjs', 'problems.mjs']);
  });

  test.each(examples)('$name prints what it says', async ({ name, code, output }) => {
    writeFileSync(join(user.path, name), code);
    const { stdout, stderr } = await promisify(execFile)(process.execPath, [name], { cwd: user.path });
    expect({ stdout, stderr }).toEqual({ stdout: output, stderr: '' });
  });
});

const wrong = typed.replace('answer.problems', 'answer.suspects').replace('fault.part', 'fault.prt');

/** What a compiler says of programs that use the package, in the strictest way, declarations of the package included. */
function complaints(resolution: 'Node16' | 'Bundler'): Record<'right' | 'wrong', string[]> {
  const files = { right: join(user.path, 'right.mts'), wrong: join(user.path, 'wrong.mts') };
  writeFileSync(files.right, typed);
  writeFileSync(files.wrong, wrong);
  const program = ts.createProgram(Object.values(files), {
    strict: true,
    noEmit: true,
    noUncheckedIndexedAccess: true,
    exactOptionalPropertyTypes: true,
    skipDefaultLibCheck: true,
    target: ts.ScriptTarget.ES2022,
    lib: ['lib.es2022.d.ts'],
    module: resolution === 'Node16' ? ts.ModuleKind.Node16 : ts.ModuleKind.ESNext,
    moduleResolution: ts.ModuleResolutionKind[resolution],
    types: [],
  });
  const found = ts.getPreEmitDiagnostics(program);
  const said = (inWrong: boolean) =>
    found
      .filter(({ file }) => (file?.fileName.endsWith('wrong.mts') ?? false) === inWrong)
      .map(({ messageText }) => ts.flattenDiagnosticMessageText(messageText, ' '));
  return { right: said(false), wrong: said(true) };
}

test.each(['Node16', 'Bundler'] as const)(
  'types serve a program under %s and refuse what is not there',
  (resolution) => {
    const said = complaints(resolution);
    expect(said.right).toEqual([]);
    expect(said.wrong.join(' ')).toMatch(/'suspects'.*'prt'/);
  },
);
