import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readCsv } from '../../src/text/read-csv.js';
import { limits, readReadingsFile } from '../../src/text/text.js';
import { brief, pointedAt } from './show.js';

const read = (text: string) => readCsv({ name: 'a.csv', text });
const readings = async (text: string) => {
  const { document, problems } = await read(text);
  expect(problems).toEqual([]);
  return (document!.data as { readings: Record<string, unknown>[] }).readings;
};
const briefs = async (text: string) => readReadingsFile({ name: 'a.csv', text }).problems.map(brief);

describe('data', () => {
  test('is that of a readings file', async () => {
    const { file, problems } = readReadingsFile({
      name: 'fan.readings.CSV',
      text: 'in,red,black,on,reads,input,note\nB1=in;power=off,CTL.1,CTL.N,,121.0 V,,cover off\nrun,,,W7,10.2 A,low-impedance,\n',
    });
    expect(problems).toEqual([]);
    expect(file?.raw).toEqual({
      loadside: 'readings/1',
      readings: [
        { in: { B1: 'in', power: 'off' }, red: 'CTL.1', black: 'CTL.N', reads: '121.0 V', note: 'cover off' },
        { in: 'run', on: 'W7', reads: '10.2 A', input: 'low-impedance' },
      ],
    });
  });

  test.each([
    ['', {}],
    ['run', 'run'],
    ['B1=in', { B1: 'in' }],
    [' B1 = in ; heat = 250 ', { B1: 'in', heat: 250 }],
    ['heat=-1.5e1;t=1e999;h=0x10', { heat: -15, t: '1e999', h: '0x10' }],
    ['unplugged=J3+J4', { unplugged: ['J3', 'J4'] }],
    ['after=START=pressed+running;DOOR=open', { after: [{ START: 'pressed' }, 'running'], DOOR: 'open' }],
    [
      'unplugged=J3;disconnected=BAKE.1 + BAKE.2;removed=F1',
      { unplugged: ['J3'], disconnected: ['BAKE.1', 'BAKE.2'], removed: ['F1'] },
    ],
    ['unplugged=', { unplugged: [] }],
    ['run;B1=in;B2=in;more;B1=out', ['run', { B1: 'in', B2: 'in' }, 'more', { B1: 'out' }]],
    ['B1=in;', { B1: 'in' }],
    ['a=b=c', { a: 'b=c' }],
    ['__proto__=x', JSON.parse('{"__proto__":"x"}')],
  ])('the state %j is %j', async (cell, state) => {
    const [reading] = await readings(`in,reads\n"${cell}",OL\n`);
    expect(reading?.['in']).toEqual(state);
    expect(({} as Record<string, unknown>)['x']).toBeUndefined();
  });

  test('a plain decimal is a number where a number may stand, and text elsewhere', async () => {
    expect(await readings('in,reads,red,note\nrun,121.4,010,12\nrun,,A.1,\nrun,1e999,A,B\n')).toEqual([
      { in: 'run', reads: 121.4, red: '010', note: '12' },
      { in: 'run', reads: null, red: 'A.1' },
      { in: 'run', reads: '1e999', red: 'A', note: 'B' },
    ]);
  });

  test('columns stand in any order, and blank lines and rows are skipped', async () => {
    expect(await readings('\n\nreads , in\n\nOL, run\n   \n,\n"OL" ,run\n\n')).toEqual([
      { in: 'run', reads: 'OL' },
      { in: 'run', reads: 'OL' },
    ]);
  });

  test('quoted cells hold delimiters, quotes and line ends', async () => {
    expect(await readings('in,reads,note\r\nrun,OL,"a, ""b"";\r\nc"\r\n')).toEqual([
      { in: 'run', reads: 'OL', note: 'a, "b";\r\nc' },
    ]);
  });

  test('an apostrophe that keeps a spreadsheet from running the cell is not part of it', async () => {
    expect(await readings(`in,reads,note\nrun,'-119.8 V,'=1+1\nrun,OL,'tis\n`)).toEqual([
      { in: 'run', reads: '-119.8 V', note: '=1+1' },
      { in: 'run', reads: 'OL', note: "'tis" },
    ]);
  });

  test('semicolons delimit when the header has them', async () => {
    expect(await readings('in;red;reads\n"B1=in;power=off";A.1;119,8 V\n')).toEqual([
      { in: { B1: 'in', power: 'off' }, red: 'A.1', reads: '119,8 V' },
    ]);
  });

  test('remarks may stand before the header, and nowhere else', async () => {
    const text = '# Küche, "after" repair\r\n\n  # more\nin,reads,red\nrun,OL,A B\n';
    const { problems } = readReadingsFile({ name: 'a.csv', text });
    expect(problems.map(brief)).toEqual(['name-form 5:8']);
    expect(await readings('# a\nin,reads\n#1,OL\n')).toEqual([{ in: '#1', reads: 'OL' }]);
  });

  test('a header alone is no reading', async () => {
    expect(await readings('in,reads\n')).toEqual([]);
  });
});

describe('problems', () => {
  test.each([
    ['', ['file-empty 1:1']],
    [' \n\n', ['file-empty 1:1']],
    ['red,balck,in,reads\n', ['csv-header 1:5']],
    ['In,reads\n', ['csv-header 1:1']],
    ['in,raeds\n', ['csv-header 1:4']],
    ['in,reads,__proto__,constructor\n', ['csv-header 1:10', 'csv-header 1:20']],
    ['in,reads,\n', ['csv-header 1:10']],
    ['1,2,3\n4,5,6\n', ['csv-header 1:1']],
    ['in\treads\n', ['csv-header 1:1']],
    ['in,red\n', ['key-missing 1:1']],
    ['in,reads,in\n', ['csv-syntax 1:10']],
    ['in,reads\nrun,119,8 V\n', ['csv-syntax 2:1']],
    ['in,reads\n\nrun\nrun,OL,\n', ['csv-syntax 3:1']],
    ['in,reads\nrun,"OL\nrun,OL\n', ['csv-syntax 2:5']],
    ['in,reads\n"run,OL\n', ['csv-syntax 2:1']],
    ['in,reads\nrun,O"L\n', ['csv-syntax 2:5']],
    ['in,reads\nrun,"O"L\n', ['csv-syntax 2:5']],
    ['in,reads\nB1=in;B1=out,OL\n', ['yaml-duplicate-key 2:1']],
    ['in,reads\n=in,OL\n', ['csv-syntax 2:1']],
    ['in,reads,red\nrun,OL,A B\n,,\nrun,OL,é é\n', ['name-form 2:8', 'name-form 4:8']],
    ['in,reads,input\nrun,OL,low\n', ['value-choice 2:8']],
    ['in,reads\nB1=in;power=of,OL\n', ['value-choice 2:13']],
    ['in,reads\n"é;a b=in;power=off",OL\n', ['name-form 2:1', 'name-form 2:4']],
    ['in,reads\nrun;x y,OL\n', ['name-form 2:1']],
    ['in;reads\n"B1=in;removed=F1+F 2";OL\n', ['name-form 2:16']],
  ])('%j', async (text, expected) => {
    expect(await briefs(text)).toEqual(expected);
  });

  test('an unknown column is shown with the nearest', async () => {
    expect((await read('in,reads,balck\n')).problems).toMatchObject([
      { data: { found: 'balck', nearest: 'black', allowed: expect.arrayContaining(['on', 'note']) } },
    ]);
  });

  test('point at the cell, whatever stands before it', async () => {
    const text = 'in,note,reads,red\r\n\r\nrun,"é🔌, ""x""\r\n",OL , "A B" \r\nrun,,OL,C D';
    const { problems } = readReadingsFile({ name: 'a.csv', text });
    expect(problems.map(pointedAt)).toEqual(['"A B"', 'C D']);
    expect(problems.map(brief)).toEqual(['name-form 4:8', 'name-form 5:9']);
  });

  test('a key that no column gives points at the row, and anything else at the header', async () => {
    const { document } = await read('in,reads,red\nrun,OL,\nrun,OL,A\n');
    const at = (path: (string | number)[]) => {
      const { start, end } = document!.locate(path, 'value').span;
      return document!.source.text.slice(start, end);
    };
    expect(at(['readings', 1])).toBe('run,OL,A');
    expect(at(['readings', 1, 'black'])).toBe('run,OL,A');
    expect(at(['readings', 1, 'red'])).toBe('A');
    expect(at(['readings', 0, 'red'])).toBe('');
    expect(at(['loadside'])).toBe('in,reads,red');
    expect(at(['readings', 9])).toBe('in,reads,red');
  });

  test('too many rows, or a row too long, is refused', async () => {
    const rows = 'run,OL\n'.repeat(limits.csvRows);
    expect((await read(`in,reads\n${rows}`)).problems).toEqual([]);
    expect((await read(`in,reads\n${rows}run,OL\n`)).problems).toMatchObject([
      { code: 'limit-exceeded', data: { what: 'rows', limit: 100_000 } },
    ]);
    expect((await read(`in,reads\nrun,${'x'.repeat(70_000)}\n`)).problems).toMatchObject([
      { code: 'limit-exceeded', data: { what: 'row length' } },
    ]);
    expect((await read(`in,reads\nrun,"${'x\n'.repeat(70_000)}`)).problems.map(brief)).toEqual([
      'csv-syntax 2:5',
    ]);
    expect((await read(`in,reads\n${','.repeat(70_000)}\n`)).problems).toMatchObject([
      { code: 'limit-exceeded', data: { what: 'row length', found: 70_000 } },
    ]);
  }, 20_000);

  test.each(['\r\n', '\r'])('%j gives the findings that LF gives', async (end) => {
    const text = 'in,reads,red\nrun,OL,A\n\nrun,OL,A B\nrun,OL\n';
    const ragged = await briefs(text);
    expect(ragged).toEqual(['csv-syntax 5:1']);
    expect(await briefs(text.replaceAll('\n', end))).toEqual(ragged);
    const named = await briefs(text.replace('run,OL\n', ''));
    expect(named).toEqual(['name-form 4:8']);
    expect(await briefs(text.replace('run,OL\n', '').replaceAll('\n', end))).toEqual(named);
  });
});

describe('for any cells', () => {
  const quoted = (cell: string) => `"${cell.replaceAll('"', '""')}"`;
  const cell = fc
    .oneof(
      fc.string({ unit: 'grapheme', maxLength: 12 }),
      fc.constantFrom('a,b', 'a;b', '"', '""', 'x\ny', 'x\r\ny', 'é', '🔌'),
    )
    .filter((text) => text.trim() !== '' && !/^'[=+\-@]/.test(text));

  test('notes come back as written, and each place leads to its cell', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(cell, cell), { minLength: 1, maxLength: 6 }),
        fc.constantFrom('\n', '\r\n'),
        fc.constantFrom(',', ';'),
        async (rows, end, delimiter) => {
          const lines = rows.map(([red, note]) => [quoted(note), 'OL', 'run', quoted(red)].join(delimiter));
          const text = [['note', 'reads', 'in', 'red'].join(delimiter), ...lines].join(end);
          const { document, problems } = await read(text);
          expect(problems).toEqual([]);
          const data = document!.data as { readings: { note: string; red: string }[] };
          for (const [index, [red, note]] of rows.entries()) {
            expect(data.readings[index]).toMatchObject({ red, note });
            const { start, end: stop } = document!.locate(['readings', index, 'note'], 'value').span;
            expect(text.slice(start, stop)).toBe(quoted(note));
          }
        },
      ),
    );
  });

  test('any text gives a document or problems inside it, and never throws', async () => {
    const pieces = fc.constantFrom(
      'in',
      'reads',
      'red',
      ',',
      ';',
      '"',
      '""',
      '\n',
      '\r\n',
      '\r',
      ' ',
      'x',
      '=',
      '+',
      'é',
    );
    const texts = fc.array(pieces, { maxLength: 30 }).map((parts) => parts.join(''));
    const headed = texts.map((text) => `in,reads\n${text}`);
    await fc.assert(
      fc.asyncProperty(fc.oneof(texts, headed, fc.string()), async (text) => {
        const { document, problems } = await read(text);
        expect(document === undefined).toBe(problems.length > 0);
        for (const { at } of problems) {
          expect(at.span.start).toBeGreaterThanOrEqual(0);
          expect(at.span.end).toBeGreaterThanOrEqual(at.span.start);
          expect(at.span.end).toBeLessThanOrEqual(text.length);
        }
      }),
      { numRuns: 1_000 },
    );
  });
});
