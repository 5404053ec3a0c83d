/** What TAB offers: as the command tree and the circuit have it, and in the shells themselves, where they are there. */
import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Argument, Command } from 'commander';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { complete } from '../../src/cli/completion/complete.js';
import { exchanged, hood, hoodText, noFan } from './example-files.js';
import { type Outside, root, run } from './run.js';

/** What is offered for the last word of a line; `files` where the shell is to offer files. */
async function offered(line: string, outside: Outside = {}): Promise<readonly string[] | 'files'> {
  const words = line.split(' ');
  const { status, out, err } = await run(
    ['complete', ...words.slice(0, -1), `:${words.at(-1) ?? ''}`],
    outside,
  );
  expect({ status, err }).toEqual({ status: 0, err: '' });
  const [kind, ...lines] = out.trimEnd().split('\n');
  if (kind === 'files') return kind;
  expect(kind).toBe('words');
  return lines.map((each) => each.split('\t')[0] ?? '');
}

describe('offered', () => {
  test('are the commands that help lists, and no other', async () => {
    const { out } = await run(['--help']);
    const listed = [...out.matchAll(/^ {2}([a-z]+) +[A-Z<[]/gm)].map(([, name]) => name);
    expect(listed.length).toBeGreaterThan(7);
    expect(await offered('')).toEqual(listed);
    expect(await offered('help ')).toEqual(listed);
    expect(await offered('comp')).toEqual(['completion']);
  });

  test.each([
    ['check ', 'files'],
    ['check x.yaml --circuit ', 'files'],
    ['validate a.yaml ', 'files'],
    ['pins a.yaml CTL ', []],
    ['expect x.yaml --width ', []],
    ['expect --input ', ['high', 'low']],
    ['expect --input=l', ['--input=low']],
    [
      'expect -f ',
      ['table', 'json', 'csv', 'junit', 'sarif', 'github', 'markdown', 'html', 'yaml', 'svg', 'terminal'],
    ],
    ['expect --al', ['--all-states']],
    ['next x.yaml --sk', ['--skip']],
    ['check x.yaml --sk', []],
    ['check -- --', 'files'],
    ['completion ', ['bash', 'zsh', 'fish', 'powershell']],
    [`expect ${hood} --state sp`, ['speed-1', 'speed-2', 'speed-3', 'speed-4']],
    [`expect ${hood} --state=l`, ['--state=lamp']],
    [`expect ${hood} -s B1`, ['B1=']],
    [`expect ${hood} -s B1=`, ['B1=out', 'B1=in']],
    [`expect ${hood} -s power=`, ['power=on', 'power=off']],
    [`expect ${hood} -s unplugged=`, ['unplugged=J3']],
    [
      `expect ${hood} -s removed=F1+T`,
      ['removed=F1+TC', 'removed=F1+TAP3', 'removed=F1+TAP2', 'removed=F1+TAP1'],
    ],
    [`expect ${hood} --unplug `, ['J3']],
    [`expect ${hood} --black MAINS.`, ['MAINS.L', 'MAINS.N', 'MAINS.PE']],
    [`expect ${hood} --fault LAMP`, ['LAMP:', 'LAMP.1:', 'LAMP.2:']],
    [
      `expect ${hood} --fault LAMP:`,
      ['open', 'shorted', 'dead', 'low-resistance=', 'high-resistance='].map((mode) => `LAMP:${mode}`),
    ],
    [`trace ${hood} F`, ['FAN']],
    [`pins ${hood} TA`, ['TAP3', 'TAP2', 'TAP1']],
    [
      `next ${noFan} --skip CTL.`,
      ['L', 'N', '1', '2', '3', '4', '5', '6', '7', '8'].map((pin) => `CTL.${pin}`),
    ],
    [`next - --circuit ${hood} --skip LA`, ['LAMP.1', 'LAMP.2']],
  ] as const)('behind "%s"', async (line, wanted) => {
    const found = await offered(line);
    expect(found === 'files' ? found : [...found].sort()).toEqual(
      wanted === 'files' ? wanted : [...wanted].sort(),
    );
  });

  test('from a circuit with mistakes is what can be read of it; from one that can not be read, nothing', async () => {
    const broken = exchanged(hoodText, 'kind: motor', 'kind: moter');
    const files = { 'broken.yaml': broken, 'torn.yaml': `${hoodText}\n  - [`, 'empty.yaml': '' };
    expect(await offered('expect broken.yaml --state la', { files })).toEqual(['lamp']);
    for (const name of ['torn.yaml', 'empty.yaml', 'nowhere.yaml', 'examples', '-'])
      expect([name, await offered(`expect ${name} --state `, { files })]).toEqual([name, []]);
  });

  test('is text of one line that acts on nothing', async () => {
    const files = {
      'hostile.yaml': `loadside: circuit/1
supplies:
  MAINS: { system: dc, voltage: 12 V, terminals: { positive: MAINS.P, negative: MAINS.N } }
conditions:
  door: { values: ["$(touch hacked)", "a b", "\\e[31mred", shut], rest: shut }
loads:
  LAMP: { kind: lamp, between: [MAINS.P, MAINS.N], resistance: 10 ohm, job: "\\e]0;title\\a\\nlights\\tup" }
`,
    };
    expect(await offered('expect hostile.yaml --state door=', { files })).toEqual(['door=shut']);
    const { out } = await run(['complete', 'trace', 'hostile.yaml', ':'], { files });
    expect(out).toBe('words\nLAMP\t\\u{1b}]0;title\\u{7} lights up\n');
  });

  test('in a home folder is found', async () => {
    const files = { '/home/ann/hood.yaml': hoodText };
    expect(await offered('expect ~/hood.yaml -s la', { files, env: { HOME: '/home/ann' } })).toEqual([
      'lamp',
    ]);
  });

  test('of commands nobody told it about, too', async () => {
    const program = new Command('loadside').option('-o, --output <file>');
    const group = program.command('group').description('several');
    group.command('inner').argument('<circuit>').argument('[load...]').option('--red <node>');
    group.command('secret', { hidden: true });
    program.command('other').addArgument(new Argument('<kind>').choices(['one', 'two']));
    const asked: unknown[] = [];
    const at = (line: string) =>
      complete(program, line.split(' '), async (...given) => {
        asked.push(given);
        return [{ text: 'A.1' }];
      });
    const words = (...texts: string[]) => ({ kind: 'words', candidates: texts.map((text) => ({ text })) });
    expect(await at('group ')).toMatchObject({ candidates: [{ text: 'inner' }, { text: 'help' }] });
    expect(await at('other t')).toEqual(words('two'));
    expect(await at('group inner ')).toEqual({ kind: 'files' });
    expect(await at('group inner --output ')).toEqual({ kind: 'files' });
    expect(await at('--output x group inner c.yaml --red ')).toEqual(words('A.1'));
    expect(await at('group inner c.yaml B C D')).toEqual(words('A.1'));
    expect(asked).toEqual([
      [['c.yaml'], 'node', ''],
      [['c.yaml', 'B', 'C'], 'load', 'D'],
    ]);
  });
});

test('help says nothing of the command the scripts call', async () => {
  expect((await run(['--help'])).out).not.toMatch(/^ {2}complete /m);
});

/** Typed at a prompt, TAB included, and the arguments the program then gets. */
const typed: readonly (readonly [line: string, words: string])[] = [
  ['loadside chec\t', '[check]'],
  ['loadside expect hood.circuit.y\t', '[expect] [hood.circuit.yaml]'],
  ['loadside expect hood.circuit.yaml --state B1=i\t', '[expect] [hood.circuit.yaml] [--state] [B1=in]'],
  ['loadside expect hood.circuit.yaml --state=lam\t', '[expect] [hood.circuit.yaml] [--state=lamp]'],
  [
    'loadside expect hood.circuit.yaml --fault B1:stuck-o\t--quiet',
    '[expect] [hood.circuit.yaml] [--fault] [B1:stuck-open] [--quiet]',
  ],
];

/** In place of the program: it still completes, and tells what else it was called with. */
const told = `loadside() { if [ "$1" = complete ]; then command loadside "$@"; else printf 'got'; printf ' [%s]' "$@"; echo; fi; }`;

describe('in a shell', () => {
  let folder = '';
  let env: Record<string, string> = {};

  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'loadside-'));
    const bin = join(folder, 'loadside');
    writeFileSync(bin, `#!/bin/sh\nexec "${process.execPath}" "${root}/bin/loadside.js" "$@"\n`, {
      mode: 0o755,
    });
    copyFileSync(join(root, hood), join(folder, 'hood.circuit.yaml'));
    env = { PATH: `${folder}:${process.env['PATH']}`, TERM: 'dumb', LANG: 'C.UTF-8', HOME: folder };
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  function shell(program: string, args: readonly string[], input = ''): string {
    const { stdout, stderr, error } = spawnSync(program, args, {
      cwd: folder,
      env,
      input,
      encoding: 'utf8',
      timeout: 40_000,
    });
    expect([error, stderr]).toEqual([undefined, '']);
    return stdout;
  }

  const lacks = (...programs: string[]) =>
    programs.some((program) => spawnSync(program, ['--version']).error !== undefined);
  const noBash = lacks('bash', 'script');
  const noZsh = lacks('zsh');
  const noFish = lacks('fish');

  test.skipIf(noBash)(`bash${noBash ? ': skipped, bash or script is not installed' : ''}`, () => {
    const rc = `PS1='$ '\nbind 'set enable-bracketed-paste off'\nsource <(command loadside completion bash)\n${told}\n`;
    writeFileSync(join(folder, 'bashrc'), rc);
    const input = `${typed.map(([line]) => line).join('\n')}\nexit\n`;
    const out = shell('script', ['-qec', 'bash --rcfile bashrc -i', '/dev/null'], input);
    expect(out.match(/(?<=^got ).*(?=\r)/gm)).toEqual(typed.map(([, words]) => words));
  });

  test.skipIf(noZsh)(`zsh${noZsh ? ': skipped, zsh is not installed' : ''}`, () => {
    // Each line is typed once the shell has answered the one before: zsh takes a TAB typed ahead for text.
    const driver = `zmodload zsh/zpty
zpty z zsh -f -i
zpty -w z "PS1= ; unset zle_bracketed_paste; autoload -U compinit; compinit -u -D; source <(command loadside completion zsh); ${told.replaceAll('"', '\\"').replaceAll('$', '\\$')}; print rea''dy"
zpty -r z out '*ready*'
for line in "$@"; do
  zpty -w -n z "print go''on"$'\\n'
  zpty -r z out '*goon*'
  zpty -w -n z $line$'\\n'
  zpty -r z out '*got *'$'\\n'
  print -r -- $out
done
zpty -d z
`;
    writeFileSync(join(folder, 'driver.zsh'), driver);
    const out = shell('zsh', ['-f', 'driver.zsh', ...typed.map(([line]) => line)]);
    expect(out.match(/(?<=^got ).*(?=\r)/gm)).toEqual(typed.map(([, words]) => words));
  });

  test.skipIf(noFish)(`fish${noFish ? ': skipped, fish is not installed' : ''}`, () => {
    const asks = typed.map(([line]) => `complete -C '${line.split('\t')[0]}'`);
    const out = shell('fish', [
      '--no-config',
      '-c',
      ['loadside completion fish | source', ...asks].join('\n'),
    ]);
    expect(
      out
        .trimEnd()
        .split('\n')
        .map((line) => line.split('\t')[0]),
    ).toEqual(['check', 'hood.circuit.yaml', 'B1=in', '--state=lamp', 'B1:stuck-open']);
  });

  /** There is no PowerShell here to try it in: its text is all that is looked at. */
  test('PowerShell: the text of the script, which was never run', async () => {
    const { out } = await run(['completion', 'powershell']);
    expect(out).toMatchInlineSnapshot(`
      "# Completion of loadside for PowerShell. For this session, or in the file $PROFILE for all:
      #   loadside completion powershell | Out-String | Invoke-Expression
      Register-ArgumentCompleter -Native -CommandName loadside -ScriptBlock {
        param($wordToComplete, $commandAst, $cursorPosition)
        $words = @($commandAst.CommandElements |
          Select-Object -Skip 1 |
          Where-Object { $_.Extent.EndOffset -lt $cursorPosition } |
          ForEach-Object { if ($_ -is [System.Management.Automation.Language.StringConstantExpressionAst]) { $_.Value } else { $_.Extent.Text } })
        $lines = @(& loadside complete @words ":$wordToComplete" 2>$null)
        if ($lines.Count -eq 0 -or $lines[0] -eq 'files') { return }
        $lines | Select-Object -Skip 1 | ForEach-Object {
          $text, $about = $_ -split "\`t", 2
          if (-not $about) { $about = $text }
          [System.Management.Automation.CompletionResult]::new($text, $text, 'ParameterValue', $about)
        }
      }
      "
    `);
  });

  test('no script has the shell evaluate what it is told', async () => {
    for (const name of ['bash', 'zsh', 'fish', 'powershell']) {
      const { status, out } = await run(['completion', name]);
      expect([status, out.includes('loadside complete ')]).toEqual([0, true]);
      expect(out.replace(/^#.*$/gm, '')).not.toMatch(/eval|compgen|Invoke-Expression|_arguments/);
    }
  });
});
