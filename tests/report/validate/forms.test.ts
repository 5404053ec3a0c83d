import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { Ajv } from 'ajv';
import fc from 'fast-check';
import { SaxesParser } from 'saxes';
import { describe, expect, test } from 'vitest';
import type { RatedProblem } from '../../../src/report/show-problem.js';
import { validateGithub } from '../../../src/report/validate/validate-github.js';
import { validateJson } from '../../../src/report/validate/validate-json.js';
import { validateJunit } from '../../../src/report/validate/validate-junit.js';
import { validateSarif } from '../../../src/report/validate/validate-sarif.js';
import { validateTable, wordCounts } from '../../../src/report/validate/validate-table.js';
import {
  countsOf,
  hasTooManyWarnings,
  type ValidateAnswer,
  type ValidatedFile,
  verdictOf,
} from '../../../src/report/validate/validated.js';
import { hostileText } from '../hostile-text.js';
import { allCodes, exampleOf } from '../problem-examples.js';

/** A name as nobody should choose one. */
const names = fc.oneof(
  fc.constantFrom(...Object.values(hostileText)),
  fc.string({ unit: 'binary', maxLength: 20 }),
  fc.constantFrom(
    'a&b<c>"d\'.yaml',
    ']]>.yaml',
    'x,y:z%0A.yaml',
    '\ud800.yaml',
    'dir/ü ö.circuit.yaml',
    'C:\\x.yaml',
    '/abs/x y.yaml',
  ),
);

const problems: fc.Arbitrary<RatedProblem> = fc
  .record({
    code: fc.constantFrom(...allCodes),
    severity: fc.constantFrom('error' as const, 'warning' as const),
    name: names,
    planted: fc.option(names, { nil: undefined }),
    text: fc.string({ unit: 'binary', maxLength: 60 }),
    start: fc.nat(70),
    length: fc.nat(30),
  })
  .map(({ code, severity, name, planted, text, start, length }) => {
    const span = { start: Math.min(start, text.length), end: Math.min(start + length, text.length) };
    const problem = exampleOf(code, { source: { name, text }, span });
    return { problem: planted === undefined ? problem : withText(problem, planted), severity };
  });

/** The same with another text for the first one a file could have given. */
function withText(problem: RatedProblem['problem'], text: string): RatedProblem['problem'] {
  const key = ['found', 'name', 'node', 'part', 'load', 'wanted', 'file'].find(
    (each) => each in problem.data,
  );
  return key === undefined
    ? problem
    : ({ ...problem, data: { ...problem.data, [key]: text } } as RatedProblem['problem']);
}

const expectations = fc
  .array(fc.boolean(), { maxLength: 4 })
  .map((held) => held.map((holds, index) => ({ index: index + 1, holds })));

const files: fc.Arbitrary<ValidatedFile> = fc
  .record({
    path: names,
    list: fc.array(problems, { maxLength: 5 }),
    more: fc.nat(2),
    reason: names,
    allowed: fc.array(problems, { maxLength: 2 }),
    held: expectations,
    kind: fc.constantFrom('unreadable', 'broken', 'done', 'done'),
  })
  .map(({ path, list, more, reason, allowed, held, kind }): ValidatedFile => {
    const isError = ({ severity }: RatedProblem) => severity === 'error';
    const told = { path, more, allowed: allowed.map((each) => ({ ...each, reason })) };
    if (kind === 'unreadable')
      return { ...told, problems: list, unreadable: list.some(isError), allowed: [] };
    if (kind === 'broken') return { ...told, problems: list, unreadable: false };
    // What does not hold is told as a problem of that number, and nothing else is.
    const others = list.filter(({ problem }) => !problem.code.startsWith('expectation-'));
    const failing = held.flatMap(({ index, holds }) => (holds ? [] : [failed(index)]));
    const done = { parts: 3, nodes: 4, states: 2, complete: true, expectations: held };
    const passed = told.allowed.filter(({ problem }) => !problem.code.startsWith('expectation-'));
    return { ...told, allowed: passed, problems: [...others, ...failing], unreadable: false, done };
  });

function failed(index: number): RatedProblem {
  const at = { source: { name: 'x', text: 'x' }, span: { start: 0, end: 1 } };
  const data = { index, load: 'FAN', wanted: true, volts: 3 };
  return { problem: { code: 'expectation-works', data, at }, severity: 'error' };
}

const answers: fc.Arbitrary<ValidateAnswer> = fc.record({
  files: fc.array(files, { maxLength: 5 }),
  troubles: fc.array(fc.record({ path: names, reason: names }), { maxLength: 2 }),
  mostWarnings: fc.option(fc.nat(3), { nil: undefined }),
});

const schemaAt = createRequire(import.meta.url).resolve(
  '@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json',
);

/** OASIS SARIF 2.1.0, as the package ships it (draft 4 of JSON Schema, of which it uses nothing that draft 7 changed). */
const { $schema: _draft, id: _id, ...sarifSchema } = JSON.parse(readFileSync(schemaAt, 'utf8'));
const ajv = new Ajv({ strict: false, allErrors: true, unicodeRegExp: false });
ajv.addFormat('uri', (text) => URL.canParse(text));
ajv.addFormat('uri-reference', (text) => URL.canParse(text, 'file:///any/') && !/[\s"<>\\^`{|}]/.test(text));
ajv.addFormat('date-time', true);
const isSarif = ajv.compile(sarifSchema);

function sarifOf(answer: ValidateAnswer) {
  const log = JSON.parse(validateSarif(answer, '0.1.0', 1));
  expect(isSarif(log) ? [] : isSarif.errors?.slice(0, 3)).toEqual([]);
  return log.runs[0];
}

interface Element {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: Element[];
}

/** Every element below the root, by a parser that stops at the first thing XML 1.0 does not have. */
function elementsOf(xml: string): readonly Element[] {
  const all: Element[] = [];
  const open: Element[] = [];
  const parser = new SaxesParser();
  parser.on('error', (error) => {
    throw error;
  });
  parser.on('opentag', ({ name, attributes }) => {
    const element = { name, attributes: attributes as Record<string, string>, children: [] };
    open.at(-1)?.children.push(element);
    open.push(element);
    all.push(element);
  });
  parser.on('closetag', () => open.pop());
  parser.write(xml).close();
  return all;
}

/** Pieces of an answer as they are counted in each form. */
function junitCounts(answer: ValidateAnswer) {
  const all = elementsOf(validateJunit(answer));
  const named = (name: string) => all.filter((each) => each.name === name);
  for (const each of [...named('testsuite'), ...named('testsuites')]) {
    const cases = each.name === 'testsuite' ? each.children : named('testcase');
    const of = (kind: string) =>
      cases.filter(({ children }) => children.some(({ name }) => name === kind)).length;
    expect([
      each.attributes['tests'],
      each.attributes['failures'],
      each.attributes['errors'],
      each.attributes['skipped'],
    ]).toEqual([cases.length, of('failure'), of('error'), of('skipped')].map(String));
  }
  const bad = named('testsuite').filter(
    ({ attributes }) => attributes['failures'] !== '0' || attributes['errors'] !== '0',
  );
  const verdict = named('error').length > 0 ? 'unusable' : named('failure').length > 0 ? 'invalid' : 'valid';
  return { bad: bad.length, verdict };
}

test('every form of an answer has the same verdict and counts, whatever names and texts stand in it', () => {
  fc.assert(
    fc.property(answers, (answer) => {
      const counts = countsOf(answer);
      const verdict = verdictOf(answer);
      const over = hasTooManyWarnings(answer) ? 1 : 0;

      const json = JSON.parse(JSON.stringify(validateJson(answer)));
      expect([json.verdict, json.counts, json.troubles.length]).toEqual([verdict, counts, counts.troubles]);
      const listed = json.files.flatMap((file: { problems: { severity: string }[] }) => file.problems);
      const hidden = answer.files.reduce((sum, file) => sum + file.more, 0);
      const of = (severity: string) =>
        listed.filter((each: { severity: string }) => each.severity === severity).length;
      expect([of('error') + hidden, of('warning')]).toEqual([counts.errors, counts.warnings]);
      expect(json.files.filter((file: { verdict: string }) => file.verdict === 'valid')).toHaveLength(
        counts.valid,
      );

      expect(junitCounts(answer)).toEqual({ bad: counts.invalid + counts.troubles + over, verdict });

      const run = sarifOf(answer);
      const results = run.results as { level: string; suppressions?: unknown[] }[];
      const kept = results.filter(({ suppressions }) => suppressions === undefined);
      expect(kept.filter(({ level }) => level === 'error').length + hidden).toBe(counts.errors);
      expect(kept.filter(({ level }) => level === 'warning')).toHaveLength(counts.warnings);
      expect(results.length - kept.length).toBe(counts.allowed);
      expect(run.invocations[0].executionSuccessful).toBe(verdict !== 'unusable');
      expect(run.invocations[0].toolExecutionNotifications.at(-1).message.text).toBe(wordCounts(answer));

      const lines = validateGithub(answer).trimEnd().split('\n');
      expect(lines.at(-1)).toBe(wordCounts(answer));
      const commands = lines.slice(0, -1).filter((line) => /^::(?:error|warning)(?: [^\n]*)?::/.test(line));
      const rest = lines.slice(commands.length, -1).join('\n');
      const more = Number(/^(\d+) more not shown/.exec(rest)?.[1] ?? 0);
      expect(commands.length + more).toBe(counts.errors + counts.warnings + counts.troubles + over);
      expect(lines.length).toBe(commands.length + (more > 0 ? 1 : 0) + 1);
      for (const level of ['error', 'warning'])
        expect(commands.filter((line) => line.startsWith(`::${level}`)).length).toBeLessThanOrEqual(10);

      const table = validateTable(answer, { level: 0, width: 100_000, ascii: false });
      if (answer.files.length !== 1 || counts.troubles > 0)
        expect(table.split('\n')).toContain(wordCounts(answer));
    }),
    { numRuns: 60 },
  );
});

describe('limits of those who read it', () => {
  const at = { source: { name: 'a.circuit.yaml', text: 'x' }, span: { start: 0, end: 1 } };
  const many = (number: number, severity: 'error' | 'warning'): RatedProblem[] =>
    Array.from({ length: number }, () => ({ problem: exampleOf('node-same', at), severity }));
  const answerOf = (list: readonly RatedProblem[]): ValidateAnswer => ({
    files: [{ path: 'a.circuit.yaml', unreadable: false, problems: list, more: 0, allowed: [] }],
    troubles: [],
    mostWarnings: undefined,
  });

  test('ten annotations of each kind, errors first, and how many more there are', () => {
    const lines = validateGithub(answerOf([...many(12, 'warning'), ...many(11, 'error')])).split('\n');
    expect(lines.slice(0, 10).every((line) => line.startsWith('::error '))).toBe(true);
    expect(lines.slice(10, 20).every((line) => line.startsWith('::warning '))).toBe(true);
    expect(lines[20]).toMatch(/^3 more not shown here/);
  });

  test('of 30,000 findings a log keeps 25,000, errors before warnings, and says so', () => {
    const run = JSON.parse(validateSarif(answerOf([...many(29_999, 'warning'), ...many(1, 'error')]), '0', 1))
      .runs[0];
    expect([run.results.length, run.results[0].level]).toEqual([25_000, 'error']);
    expect(JSON.stringify(run.invocations)).toContain('5000 more findings left out');
  });

  test('a path is a relative reference, an absolute one has its scheme', () => {
    const uriOf = (name: string) => {
      const problem = exampleOf('node-same', { ...at, source: { name, text: 'x' } });
      const run = sarifOf(answerOf([{ problem, severity: 'error' }]));
      return run.results[0].locations[0].physicalLocation.artifactLocation.uri;
    };
    expect(uriOf('dir/a b#c.yaml')).toBe('dir/a%20b%23c.yaml');
    expect(uriOf('/home/a.yaml')).toBe('file:///home/a.yaml');
    expect(uriOf('C:\\lib\\a.yaml')).toBe('file:///C:/lib/a.yaml');
  });

  test('no answer at all is a whole document too', () => {
    const none = { files: [], troubles: [], mostWarnings: undefined };
    expect(elementsOf(validateJunit(none)).map(({ name }) => name)).toEqual(['testsuites']);
    expect(sarifOf(none).results).toEqual([]);
  });
});
