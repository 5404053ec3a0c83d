import { describe, expect, test } from 'vitest';
import { circuitSeverities } from '../../src/circuit/circuit.js';
import { auditSeverities } from '../../src/diagnose/diagnose.js';
import { meterSeverities } from '../../src/meter/meter.js';
import { practiceSeverities } from '../../src/practice/practice.js';
import { type Problem, wordProblem } from '../../src/report/word-problem.js';
import { textSeverities } from '../../src/text/text.js';
import { allCodes, problemExamples, problemOf } from './problem-examples.js';

const at = { source: { name: 'a.circuit.yaml', text: 'x' }, span: { start: 0, end: 1 } };

const severities = [textSeverities, circuitSeverities, meterSeverities, auditSeverities, practiceSeverities];

function words(code: Problem['code'], data: unknown) {
  return wordProblem({ code, data, at } as Problem);
}

test('every code of every floor has an example, and no two floors share one', () => {
  const declared = severities.flatMap((table) => Object.keys(table));
  expect([...declared].sort()).toEqual([...allCodes].sort());
  expect(new Set(declared).size).toBe(declared.length);
});

describe.each(allCodes)('%s', (code) => {
  const { data, headline, help } = problemExamples[code];
  const wording = words(code, data);

  test('names what was found and what would be right', () => {
    for (const part of headline) expect(wording.headline).toContain(part);
    for (const part of help ?? []) expect(wording.help).toContain(part);
  });

  test('is one plain sentence: a headline without a full stop, help with one', () => {
    expect(wording.headline).toMatch(/^\S.*[^.\s]$/);
    if (wording.help !== undefined) expect(wording.help).toMatch(/^[A-Z0-9].*(?:\.|: \S+)$/);
    expect(`${wording.headline} ${wording.help}`).not.toMatch(
      /undefined.|\[object|NaN|null|schema|propert|instance|parse|token|enum|scalar/i,
    );
  });
});

describe('names that are wrong', () => {
  const unknown = {
    what: 'position',
    found: 'pushed',
    of: 'B1',
    nearest: undefined,
    allowed: ['out', 'in'],
  } as const;

  test('a position belongs to its switch, and few choices are listed', () => {
    expect(words('reference-unknown', unknown)).toEqual({
      headline: 'B1 has no position pushed',
      help: 'The positions of B1 are: out and in.',
    });
  });

  test('eight choices are listed, nine are counted', () => {
    const eight = Array.from({ length: 8 }, (_, index) => `p${index}`);
    expect(words('reference-unknown', { ...unknown, allowed: eight }).help).toContain('p6 and p7');
    expect(words('reference-unknown', { ...unknown, allowed: [...eight, 'p8'] }).help).toBe(
      'There are 9 positions to choose from.',
    );
  });

  test('no choices at all need no line', () => {
    expect(words('reference-unknown', { ...unknown, allowed: [] })).toEqual({
      headline: 'B1 has no position pushed',
    });
  });

  test('the terminals listed are those of the part that is named', () => {
    const data = {
      what: 'node',
      found: 'B2.9',
      of: undefined,
      nearest: undefined,
      allowed: ['B2.1', 'B2.2'],
    };
    expect(words('reference-unknown', data).help).toBe('Terminals of B2: B2.1 and B2.2.');
  });

  test('a bare node that nothing is like is told what a node is', () => {
    const data = { what: 'node', found: 'SP1', of: undefined, nearest: undefined, allowed: ['SP2'] };
    expect(words('reference-unknown', data).help).toContain('splice');
  });

  test('a name with blanks, or an empty one, stands in quotes', () => {
    expect(words('reference-unknown', { ...unknown, found: 'all the way' }).headline).toContain(
      '"all the way"',
    );
    expect(words('reference-unknown', { ...unknown, found: '' }).headline).toContain('""');
  });

  test('a very long name is cut', () => {
    const { headline } = words('reference-unknown', { ...unknown, found: 'x'.repeat(10_000) });
    expect(headline.length).toBeLessThan(120);
    expect(headline).toContain('…');
  });

  test('a key that starts with a digit is most likely the rest of a decimal comma', () => {
    const data = { key: '8 V', allowed: ['in', 'red'], nearest: undefined };
    expect(words('key-unknown', data).help).toContain('decimal point');
  });

  test('one possible value is named as such', () => {
    const data = { found: 'circuit/2', allowed: ['circuit/1'], nearest: 'circuit/1' };
    expect(words('value-choice', data)).toEqual({
      headline: 'circuit/2 does not belong here; expected circuit/1',
    });
  });
});

describe('numbers and units', () => {
  test('a limit that is refused itself was an open one', () => {
    const low = words('value-range', { found: 0, least: 0, most: undefined }).headline;
    expect(low).toBe('0 is out of range; it must be more than 0');
    const high = words('value-range', { found: 1, least: undefined, most: 1 }).headline;
    expect(high).toContain('less than 1');
  });

  test('a quantity that must lie above its bound is told so', () => {
    const data = { found: '0 V', dimension: 'voltage', least: '0 V', most: undefined, exclusiveLeast: true };
    expect(words('quantity-range', data).headline).toContain('more than 0 V');
  });

  test('a comma that may be either is given both ways', () => {
    const data = { found: '1,198 V', fix: '1.198 V or 1198 V' };
    expect(words('quantity-comma', data).headline).toContain('write 1.198 V or 1198 V');
  });

  test('a bare number lacks its unit, and a reading has units of several kinds', () => {
    const units = ['V', 'mV', 'V ac', 'V dc', 'A', 'mA', 'ohm', 'kohm', 'Mohm', 'OL'];
    const wording = words('quantity-unit', {
      found: '120',
      unit: '',
      dimension: 'reading',
      units,
      nearest: undefined,
    });
    expect(wording.headline).toBe('120 has no unit');
    expect(wording.help).toContain('OL');
  });

  test('of many spellings of a unit the usual ones are named', () => {
    const units = ['ohm', 'uohm', 'mohm', 'kohm', 'Mohm', 'Gohm', 'Ω', 'uΩ', 'mΩ'];
    const data = { found: '5 V', unit: 'V', dimension: 'resistance', units, nearest: undefined };
    expect(words('quantity-unit', data).help).toBe(
      'Write it with ohm, uohm, mohm, kohm, Mohm or Gohm, or another of its 9 units.',
    );
  });

  test.each([
    ['bytes', 'the file is too big: 9 x, at most 8'],
    ['text length', 'this text is too long: 9 x, at most 8'],
    ['row length', 'this row is too long: 9 x, at most 8'],
    ['rows', 'too many rows: 9 x, at most 8'],
    ['keys in one map', 'too many keys in one map: 9 x, at most 8'],
  ])('a limit on %s says which', (what, headline) => {
    expect(words('limit-exceeded', { what, found: 9, limit: 8, unit: 'x' }).headline).toContain(headline);
  });

  test('a range with one open end names the other', () => {
    const data = { condition: 'level', found: '-1', from: '0', to: 'any' };
    expect(words('condition-range', data).headline).toContain('at least 0');
    expect(words('condition-range', { ...data, from: 'any', to: '9' }).headline).toContain('at most 9');
  });
});

describe('readings', () => {
  test('leads do not read amps', () => {
    const { headline, help } = words('reading-unit-misplaced', { found: 'A', expected: 'V or ohm' });
    expect(headline).toBe('two leads read V or ohm, not A');
    expect(help).toContain('on:');
  });

  test('an expectation is of a reading or of a load', () => {
    expect(words('reading-keys-conflict', { keys: ['load', 'reads'] }).help).toContain('load and works');
  });

  test('a contact that follows a number has thresholds', () => {
    const { help } = words('key-conflict', { part: 'TH1', keys: ['closed-in', 'follows'] });
    expect(help).toContain('opens-above');
  });

  test('nothing before a colon is no kind of key', () => {
    expect(words('yaml-key-kind', { found: 'nothing' }).headline).toContain('before this colon');
  });

  test('an encoding that can not be told is not guessed', () => {
    expect(words('encoding-unknown', { guess: undefined }).headline).toBe('this file is not UTF-8 text');
  });
});

describe('what solving shows', () => {
  const pin = { node: 'CTL.1', switch: 'B1', position: 'in', wiring: undefined, instead: undefined };

  test('a pin no state reaches, one that is always live, one with two needs', () => {
    expect(words('pin-map-contradicted', pin).headline).toContain('no state reaches it');
    expect(words('pin-map-contradicted', { ...pin, wiring: {} }).headline).toContain('live in every state');
    const wiring = { SEL: ['bake', 'broil'], DOOR: ['shut'] };
    expect(words('pin-map-contradicted', { ...pin, wiring }).headline).toContain(
      'SEL = bake or broil and DOOR = shut',
    );
  });

  const differs = { index: 3, wanted: '120 V' };
  const cause = [{ node: 'FAN.1', branch: 'B1', part: 'B1', why: 'open contact' }];

  test('a floating place is never 0 V, and what cuts it off is named', () => {
    const wording = words('expectation-differs', {
      ...differs,
      expected: { kind: 'floating', high: 98, unit: 'V', cause },
    });
    expect(wording.headline).toBe('expectation 3 says 120 V; the circuit gives no voltage: the place floats');
    expect(wording.help).toMatch(/FAN\.1.*open contact.*B1/);
  });

  test('no path between the leads reads OL', () => {
    const expected = { kind: 'floating', high: 0, unit: 'ohm', cause: [] };
    expect(words('expectation-differs', { ...differs, expected }).headline).toContain('gives OL');
  });

  test('what never settles or is shorted gives no reading', () => {
    const chattering = { kind: 'chattering', cycle: [] };
    expect(words('expectation-differs', { ...differs, expected: chattering }).headline).toContain(
      'no reading',
    );
    const short = { kind: 'short', path: [] };
    expect(words('expectation-differs', { ...differs, expected: short }).headline).toContain(
      'short-circuited',
    );
  });

  test('an expectation without a value is not quoted', () => {
    const expected = { kind: 'driven', low: -0.3, nominal: -0.01, high: 0.3, unit: 'V' };
    const wording = words('expectation-differs', { index: 1, wanted: '', expected });
    expect(wording.headline).toBe('expectation 1 names no value; the circuit gives 0.0 V');
  });

  test('a load without volts of its own gets no line about them', () => {
    const wording = words('expectation-works', {
      index: 1,
      load: 'CTL.any',
      wanted: false,
      volts: undefined,
    });
    expect(wording.headline).toContain('says CTL.any does not work');
    expect(wording.help).toBeUndefined();
  });
});

test('a problem without data of its own still gets its words from its code alone', () => {
  expect(wordProblem(problemOf('reading-ohms-live', {}, at)).headline).toContain('ohms');
});
