import { join } from 'node:path';
import { createContext, runInContext } from 'node:vm';
import { Ajv } from 'ajv';
import { buildSync } from 'esbuild';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import * as loadside from '../../src/library.js';
import { hood, hoodText, noFan, textOf } from '../cli/example-files.js';
import { jsonOf, root, run } from '../cli/run.js';

const { circuit, problems } = loadside.readCircuit(hoodText);
if (circuit === undefined) throw new Error(JSON.stringify(problems));

const told = async (args: readonly string[]) => ({
  ...jsonOf(await run([...args, '-f', 'json'])),
  inputs: [],
});
const data = <T>(value: T): T => JSON.parse(JSON.stringify(value));

describe('answers', () => {
  test('are those of the program', async () => {
    expect(data(loadside.check(circuit, textOf(noFan)))).toEqual(await told(['check', noFan]));
    const open = 'examples/range-hood/button-open.readings.yaml';
    expect(data(loadside.next(circuit, textOf(open), { skip: ['B2.1'] }))).toEqual(
      await told(['next', open, '--skip', 'B2.1']),
    );
    const options = {
      state: ['speed-1', { LS: 'on' }],
      faults: ['B1:open'],
      input: 'low-impedance',
    } as const;
    expect(data(loadside.expect(circuit, options))).toEqual(
      await told(['expect', hood, '-s', 'speed-1', '-s', 'LS=on', '--fault', 'B1:open', '--input', 'low']),
    );
    const lampOut = 'examples/range-hood/lamp-out.readings.csv';
    expect(data(loadside.check(circuit, textOf(lampOut), { name: lampOut }))).toEqual(
      await told(['check', lampOut, '-c', hood]),
    );
  });

  test('are the same of a text, of its bytes and of what it holds', () => {
    const text = textOf(noFan);
    const answer = loadside.check(circuit, text);
    expect(loadside.check(circuit, new TextEncoder().encode(text))).toEqual(answer);
    const again = loadside.readCircuit(parse(hoodText));
    expect(again.circuit).toEqual(circuit);
    expect(loadside.check(again.circuit ?? circuit, parse(text))).toEqual(answer);
  });

  test('hold nothing that the schema, and so their types, do not know', async () => {
    const validate = new Ajv({ strict: false }).compile(
      closed(JSON.parse(textOf('schemas/report.schema.json'))),
    );
    const dryer = (name: string) => ['check', `examples/dryer/${name}.readings.yaml`];
    for (const args of [
      ['check', noFan],
      ['check', 'examples/range-hood/all-good.readings.yaml'],
      ['check', 'examples/range-hood/crossed-start-wires.readings.yaml'],
      dryer('stops-when-let-go'),
      ['next', 'examples/dryer/stops-when-let-go.readings.yaml'],
      ['expect', hood, '-s', 'speed-1'],
      ['expect', 'examples/dryer/dryer.circuit.yaml', '--fault', 'MOTOR:shorted'],
      ['check', noFan, '-c', noFan],
    ]) {
      validate(await told(args));
      expect([args, validate.errors]).toEqual([args, null]);
    }
  });
});

/** The schema without room for further keys. */
// biome-ignore lint/suspicious/noExplicitAny: a schema is what it is
function closed(schema: any): any {
  if (Array.isArray(schema)) return schema.map(closed);
  if (typeof schema !== 'object' || schema === null) return schema;
  const copy = Object.fromEntries(
    Object.entries(schema).map(([key, each]) => [
      key,
      key === 'examples' || key === 'enum' ? each : closed(each),
    ]),
  );
  const isMap = 'properties' in schema && typeof schema.properties === 'object' && 'type' in schema;
  return isMap && schema.additionalProperties === undefined ? { ...copy, additionalProperties: false } : copy;
}

describe('what is wrong', () => {
  const places = (found: object): string[] | undefined =>
    'problems' in found
      ? (found.problems as loadside.Json.Problem[]).map(
          ({ file, line, column, code }) => `${file}:${line}:${column} ${code}`,
        )
      : undefined;

  test('is told with its place, all of it, in a text and in data', () => {
    const text = hoodText.replace('kind: lamp', 'kind: lmp').replace('reachable: false', 'reachabel: false');
    expect(places(loadside.readCircuit(text, { name: 'hood' }))).toEqual(
      places(loadside.readCircuit(new TextEncoder().encode(text), { name: 'hood' })),
    );
    expect(places(loadside.readCircuit(text, { name: 'hood' }))).toHaveLength(2);
    expect(loadside.readCircuit(parse(text)).circuit).toBeUndefined();
    expect(
      places(
        loadside.check(circuit, {
          loadside: 'readings/1',
          readings: [{ in: {}, red: 'CTL.LL', black: 'CTL.N' }],
        }),
      ),
    ).toEqual(['readings:6:14 reference-unknown']);
    expect(places(loadside.check(circuit, '{'))).toEqual(['readings:1:1 yaml-syntax']);
    expect(places(loadside.check(circuit, ''))).toEqual(['readings:1:1 file-empty']);
    expect(places(loadside.check(circuit, { ['x'.repeat(2000)]: 1 }))).toHaveLength(2);
  });

  test('a circuit that includes what stands in other files is none, as no file is read', () => {
    const including = `${hoodText}include:
  - { file: boards/light.assembly.yaml, prefix: L, joins: { LINE: CTL.L } }
  - { file: boards/fan.assembly.yaml, prefix: F, joins: { LINE: CTL.L } }
`;
    const found = loadside.readCircuit(including, { name: 'hood' });
    const line = hoodText.split('\n').length;
    expect([found.circuit, places(found)]).toEqual([
      undefined,
      [line + 1, line + 2].map((each) => `hood:${each}:13 include-missing`),
    ]);
  });

  test('in options as well', () => {
    const wrong = {
      state: { B9: 'in' },
      faults: ['B1:open', 'F9:open', 'F1:high-resistance=3 V'],
      black: 'CTL.HV',
    };
    expect(places(loadside.expect(circuit, wrong))).toEqual([
      'options:3:5 reference-unknown',
      'options:7:5 reference-unknown',
      'options:8:5 fault-value',
      'options:10:12 reading-hazard',
    ]);
    expect(places(loadside.next(circuit, textOf(noFan), { skip: ['B1.1', 'B1.9'] }))).toEqual([
      'options:4:5 reference-unknown',
    ]);
    expect(places(loadside.expect(circuit, { black: 'nowhere' }))).toEqual([
      'options:2:12 reference-unknown',
    ]);
  });

  test('a call that cannot be meant is thrown out', () => {
    // biome-ignore lint/suspicious/noExplicitAny: what a caller without types may do
    const untyped = loadside as any;
    for (const call of [
      () => untyped.readCircuit(undefined),
      () => untyped.readCircuit(5),
      () => untyped.check({}, ''),
      () => untyped.check(undefined, ''),
      () => untyped.check(circuit),
      () => untyped.expect({ ...circuit }),
    ])
      expect(call).toThrow(TypeError);
  });

  test('hostile data is no more than wrong', () => {
    const nested = JSON.parse(`${'{"a":'.repeat(200)}1${'}'.repeat(200)}`);
    const hostile = JSON.parse(
      '{"loadside":"readings/1","__proto__":{"polluted":1},"readings":[{"in":{"constructor":"on"}}]}',
    );
    for (const given of [
      nested,
      hostile,
      { loadside: 'readings/1', readings: 'x'.repeat(5000) },
      [],
      { '': 1 },
    ])
      expect(loadside.check(circuit, given).verdict).toBe('unusable');
    expect(({} as { polluted?: number }).polluted).toBeUndefined();
  });
});

test('what was built runs where there is no Node: only text in, data out', () => {
  const { outputFiles } = buildSync({
    entryPoints: [join(root, 'dist/library.js')],
    format: 'iife',
    globalName: 'loadside',
    bundle: true,
    write: false,
  });
  const bare = createContext({ TextEncoder, TextDecoder, hoodText, readings: textOf(noFan) });
  runInContext(outputFiles[0]?.text ?? '', bare);
  const ask = (call: string) => data(runInContext(call, bare));
  runInContext('var { circuit } = loadside.readCircuit(hoodText)', bare);
  expect(ask('loadside.check(circuit, readings)')).toMatchObject({ verdict: 'bounded' });
  expect(ask("loadside.check(circuit, 'in,red\\n', { name: 'a.csv' })")).toMatchObject({
    verdict: 'unusable',
  });
  expect(ask("loadside.check(circuit, '&a [')")).toMatchObject({ verdict: 'unusable' });
  const { tool } = loadside.check(circuit, textOf(noFan));
  expect(ask('loadside.check(circuit, readings).tool')).toEqual({
    ...tool,
    version: JSON.parse(textOf('package.json')).version,
  });
});
