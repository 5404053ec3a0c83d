import { describe, expect, test } from 'vitest';
import { problemFields, showProblem, showProblems } from '../../src/report/show-problem.js';
import type { Problem } from '../../src/report/word-problem.js';
import { acts, hostileText, obeyed } from './hostile-text.js';
import { allCodes, exampleOf, problemExamples, problemOf } from './problem-examples.js';

const plain = { level: 0, width: 80, ascii: false } as const;
/** A colour going on or off. */
const sgr = new RegExp(`${String.fromCodePoint(0x1b)}\\[\\d+m`, 'g');

const ascii = { ...plain, ascii: true };

/** A missing key at the place of `marked` in a text, or at an offset. */
function at(text: string, marked: string | number, length?: number, name = 'a.circuit.yaml'): Problem {
  const start = typeof marked === 'number' ? marked : text.indexOf(marked);
  const end = start + (length ?? (typeof marked === 'number' ? 0 : marked.length));
  return problemOf('key-missing', { key: 'reads' }, { source: { name, text }, span: { start, end } });
}

function show(problem: Problem, style = plain as Parameters<typeof showProblem>[2]): string[] {
  return showProblem(problem, 'error', style).split('\n');
}

/** The source line as shown, and what of it the carets are under. */
function frame(problem: Problem, style = plain as Parameters<typeof showProblem>[2]) {
  const [, line = '', carets = ''] = show(problem, style);
  const from = carets.indexOf('^');
  return { line, from, count: carets.length - from, under: line.slice(from, carets.length) };
}

describe('one problem', () => {
  test('place, headline, line with carets, help', () => {
    const text = 'wires:\n  - { from: B2.l, to: CTL.2 }\n';
    const start = text.indexOf('B2.l');
    const { data } = problemExamples['reference-unknown'];
    const spot = { source: { name: 'hood.circuit.yaml', text }, span: { start, end: start + 4 } };
    expect(showProblem(problemOf('reference-unknown', data, spot), 'error', plain)).toBe(
      [
        'hood.circuit.yaml:2:13: error: no node is called B2.l; did you mean B2.1?',
        '  >   - { from: B2.l, to: CTL.2 }',
        '                ^^^^',
        '    Terminals of B2: B2.1 and B2.2.',
      ].join('\n'),
    );
  });

  test('a second place is shown with its part in it', () => {
    const text = 'B1: a\nB1: b';
    const source = { name: 'a.yaml', text };
    const related = [{ source, span: { start: 0, end: 2 }, role: 'first written here' }];
    const problem = problemOf(
      'yaml-duplicate-key',
      { key: 'B1' },
      { source, span: { start: 6, end: 8 } },
      related,
    );
    expect(show(problem).slice(1)).toEqual([
      '  > B1: b',
      '    ^^',
      '    first written here: a.yaml:1:1',
      '  > B1: a',
      '    ^^',
      '    Keep one of them, or give the second a name of its own.',
    ]);
  });

  test('help is wrapped to the width, behind its indent', () => {
    const problem = exampleOf('yaml-conflict-marker', {
      source: { name: 'a', text: 'x' },
      span: { start: 0, end: 1 },
    });
    const help = show(problem, { ...plain, width: 40 }).slice(3);
    expect(help.length).toBeGreaterThan(1);
    for (const line of help) {
      expect(line.length).toBeLessThanOrEqual(40);
      expect(line).toMatch(/^ {4}\S/);
    }
  });

  test('colour adds nothing but itself', () => {
    const problem = exampleOf('key-unknown', {
      source: { name: 'a', text: 'x' },
      span: { start: 0, end: 1 },
    });
    const painted = showProblem(problem, 'warning', { ...plain, level: 1 });
    expect(painted).toContain('\u001b[33mwarning:\u001b[39m');
    const stripped = painted.replaceAll(sgr, '');
    expect(stripped).toBe(showProblem(problem, 'warning', plain));
    expect(stripped).not.toContain('\u001b');
  });
});

describe('the carets', () => {
  test('stand under the span', () => {
    expect(frame(at('a: 1\nbb: 22\n', '22'))).toMatchObject({ line: '  > bb: 22', under: '22' });
  });

  test('count columns where a tab stands before and in the span', () => {
    expect(frame(at('a:\tx\ty', 'x'))).toMatchObject({ line: '  > a:  x   y', under: 'x' });
    expect(frame(at('\t\tx', 'x'))).toMatchObject({ line: '  >         x', under: 'x' });
    expect(frame(at('a:\tx', '\tx'))).toMatchObject({ under: '  x' });
  });

  test('count columns where wide, combined and replaced characters stand before', () => {
    expect(frame(at('\u51B0: x', 'x')).from).toBe('  > '.length + 4);
    expect(frame(at('\u51B0\u7BB1', '\u7BB1'))).toMatchObject({ from: '  > '.length + 2, count: 2 });
    expect(frame(at('e\u0301: x', 'x')).from).toBe('  > '.length + 3);
    expect(frame(at('a\u001bb: x', 'x'))).toMatchObject({ line: '  > a\\u{1b}b: x', under: 'x' });
    expect(frame(at('\u{1F527}: x', 'x')).from).toBe('  > '.length + 4);
  });

  test('cover what a hidden character is shown as', () => {
    expect(frame(at('a\u202Eb', '\u202E'))).toMatchObject({ under: '\\u{202e}' });
  });

  test.each(['\n', '\r\n', '\r'])('find the line between line ends %j', (end) => {
    const text = ['one: 1', 'two: 2', 'three: 3'].join(end);
    expect(frame(at(text, '2'))).toMatchObject({ line: '  > two: 2', under: '2' });
    expect(frame(at(text, 'three'))).toMatchObject({ line: '  > three: 3', under: 'three' });
    expect(frame(at(text, 'one'))).toMatchObject({ line: '  > one: 1', under: 'one' });
  });

  test('stay on the first line of a span over several', () => {
    expect(frame(at('a:\n  - b  \n  - c\n', '- b  \n  - c'))).toMatchObject({
      line: '  >   - b',
      under: '- b',
    });
    expect(frame(at('a: b\r\nc', 'b\r\nc'))).toMatchObject({ line: '  > a: b', under: 'b' });
  });

  test('are one where the span is empty', () => {
    expect(frame(at('a: b', 3))).toMatchObject({ under: 'b', count: 1 });
  });

  test('stand behind the last character at the end of the file', () => {
    expect(frame(at('a: b', 4))).toMatchObject({ line: '  > a: b', from: '  > a: b'.length, count: 1 });
  });

  test('stand under an empty last line', () => {
    expect(show(at('a: b\n', 5)).slice(0, 3)).toEqual([
      'a.circuit.yaml:2:1: error: reads is missing here; it is always needed',
      '  >',
      '    ^',
    ]);
  });

  test('stand at the line end when the span is the line end', () => {
    expect(frame(at('ab\r\ncd', '\r\n'))).toMatchObject({ line: '  > ab', from: '  > ab'.length, count: 1 });
    expect(frame(at('ab\r\ncd', 3, 1))).toMatchObject({ line: '  > ab', from: '  > ab'.length, count: 1 });
  });

  test('a span past the end of the text is at its end', () => {
    expect(frame(at('ab', 99))).toMatchObject({ line: '  > ab', from: '  > ab'.length, count: 1 });
  });

  test('there is no frame of an empty file', () => {
    const problem = exampleOf('file-empty', { source: { name: 'a', text: '' }, span: { start: 0, end: 0 } });
    expect(show(problem)).toEqual([
      'a:1:1: error: the file is empty',
      '    It should hold a map of keys and values.',
    ]);
  });
});

describe('a line too long for the terminal', () => {
  const long = `start ${'x'.repeat(200)} MARK ${'y'.repeat(200)} end`;

  test.each([plain, ascii, { ...plain, width: 40 }, { ...plain, width: 24 }])(
    'is clipped around the span (%j)',
    (style) => {
      const shown = frame(at(long, 'MARK'), style);
      expect(shown.under).toBe('MARK');
      expect(shown.line.length).toBeLessThanOrEqual(style.width);
      const dots = style.ascii ? '...' : '…';
      expect(shown.line.startsWith(`  > ${dots}`)).toBe(true);
      expect(shown.line.endsWith(dots)).toBe(true);
    },
  );

  test('keeps its head when the span is there, and its tail when it is there', () => {
    expect(frame(at(long, 'start'))).toMatchObject({ under: 'start', from: 4 });
    const tail = frame(at(long, ' end', 4));
    expect(tail.line.endsWith(' end')).toBe(true);
    expect(tail.under).toBe(' end');
  });

  test('a line that just fits is left alone', () => {
    const text = 'x'.repeat(76);
    expect(frame(at(text, 0, 1)).line).toBe(`  > ${text}`);
    expect(frame(at(`${text}x`, 0, 1)).line).toBe(`  > ${'x'.repeat(75)}…`);
  });

  test('a span that starts near the edge is shown as a whole', () => {
    const marked = 'M'.repeat(30);
    expect(frame(at(`${'x'.repeat(65)}${marked}${'y'.repeat(50)}`, marked)).under).toBe(marked);
  });

  test('a span wider than the terminal is underlined as far as it is shown', () => {
    const shown = show(at(`a: ${'x'.repeat(300)}`, 3, 300));
    expect(shown[2]).toMatch(/^ +\^+$/);
    expect(shown[2]?.length).toBeLessThanOrEqual(80);
  });

  test('wide characters are clipped by columns, pairs never in two', () => {
    const text = `${'\u51B0'.repeat(100)}MARK${'\u{1F527}'.repeat(100)}`;
    const [, line = '', carets = ''] = show(at(text, 'MARK'));
    expect(line).not.toContain('\\u{d83d}');
    const before = line.slice(4, line.indexOf('MARK'));
    expect(carets.indexOf('^')).toBe(4 + 1 + (before.length - 1) * 2);
  });

  test('a line of megabytes is clipped around the place', () => {
    const text = `${'x'.repeat(4_000_000)}MARK${'\t'.repeat(4_000_000)}`;
    const problem = at(text, 'MARK');
    expect(frame(problem).under).toBe('MARK');
  });
});

describe('text that tries to act', () => {
  /** Every text in a problem's data replaced; what the floors choose from closed lists stays. */
  function planted(value: unknown, text: string): unknown {
    if (typeof value === 'string') return text;
    if (Array.isArray(value)) return value.map((each) => planted(each, text));
    if (typeof value !== 'object' || value === null) return value;
    const closed = ['kind', 'unit', 'always'];
    return Object.fromEntries(
      Object.entries(value).map(([key, each]) => [key, closed.includes(key) ? each : planted(each, text)]),
    );
  }

  test.each(Object.entries(hostileText))('%s in data, file text and file name does nothing', (_, text) => {
    for (const code of allCodes) {
      const source = { name: `${text}.yaml`, text: `${text}x: ${text}\n${text}` };
      const spot = { source, span: { start: text.length, end: text.length + 1 } };
      const known = code === 'reference-unknown' ? { what: 'node' } : {};
      const data = { ...(planted(problemExamples[code].data, text) as object), ...known };
      const related = [{ ...spot, role: 'first written here' }];
      const problem = { code, data, at: spot, related } as unknown as Problem;
      for (const style of [plain, ascii, { ...plain, width: 30 }]) {
        const shown = showProblems([{ problem, severity: 'error' }], 3, style);
        expect(shown).not.toMatch(acts);
        expect(shown).not.toMatch(obeyed);
        if (style.ascii) expect(shown).toMatch(/^[\n\x20-\x7e]*$/);
      }
      const { message, help = '' } = problemFields(problem, 'error');
      expect(message + help).not.toMatch(acts);
    }
  });

  test('names with keys of a prototype are names', () => {
    const data = { ...problemExamples['quantity-unit'].data, dimension: 'constructor', unit: '__proto__' };
    const spot = { source: { name: 'a', text: 'x' }, span: { start: 0, end: 1 } };
    const [head] = show({ code: 'quantity-unit', data, at: spot });
    expect(head).toContain('__proto__');
    expect(head).toContain('a constructor');
  });
});

describe('several problems', () => {
  const text = 'one\ntwo\nthree\n';
  const rated = (marked: string, severity: 'error' | 'warning', name = 'a.circuit.yaml') => ({
    problem: at(text, marked, undefined, name),
    severity,
  });

  test('by place, with their count', () => {
    const shown = showProblems(
      [rated('three', 'error'), rated('one', 'warning'), rated('two', 'error')],
      0,
      plain,
    );
    const heads = shown.split('\n').filter((line) => line.startsWith('a.circuit.yaml:'));
    expect(heads.map((line) => line.split(' ', 2).join(' '))).toEqual([
      'a.circuit.yaml:1:1: warning:',
      'a.circuit.yaml:2:1: error:',
      'a.circuit.yaml:3:1: error:',
    ]);
    expect(shown.split('\n\n').at(-1)).toBe('2 errors, 1 warning in a.circuit.yaml');
  });

  test('says how many there are beyond these', () => {
    const shown = showProblems([rated('one', 'error')], 12, plain);
    expect(shown.split('\n').at(-1)).toBe('1 error in a.circuit.yaml; 12 more not shown');
  });

  test('file by file, in the order they came', () => {
    const shown = showProblems(
      [rated('two', 'error', 'b.yaml'), rated('one', 'error', 'a.yaml'), rated('one', 'warning', 'b.yaml')],
      0,
      plain,
    );
    expect(shown.match(/^[ab]\.yaml:\d/gm)).toEqual(['b.yaml:1', 'b.yaml:2', 'a.yaml:1']);
    expect(shown.split('\n').at(-1)).toBe('2 errors, 1 warning in 2 files');
  });

  test('in ASCII where the terminal knows no more', () => {
    const shown = showProblems([rated('one', 'error', 'k\u03A9.yaml')], 0, ascii);
    expect(shown.split('\n').at(-1)).toBe('1 error in kohm.yaml');
    expect(shown.split('\n').at(0)).toMatch(/^kohm\.yaml:1:1: error: /);
  });

  test('none is nothing to say', () => {
    expect(showProblems([], 0, plain)).toBe('');
  });

  test('does not change the list it is given', () => {
    const list = [rated('two', 'error'), rated('one', 'error')];
    showProblems(list, 0, plain);
    expect(list.map(({ problem }) => problem.at.span.start)).toEqual([4, 0]);
  });
});

describe('fields for JSON', () => {
  test('hold place, code, severity, words', () => {
    const problem = at('a: 1\nb: 2', '2');
    expect(problemFields(problem, 'warning')).toEqual({
      file: 'a.circuit.yaml',
      line: 2,
      column: 4,
      code: 'key-missing',
      severity: 'warning',
      message: 'reads is missing here; it is always needed',
    });
  });

  test('hold help where there is some', () => {
    const problem = exampleOf('file-empty', { source: { name: 'a', text: '' }, span: { start: 0, end: 0 } });
    expect(problemFields(problem, 'error').help).toBe('It should hold a map of keys and values.');
  });
});
