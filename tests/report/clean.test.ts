import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { asciiOnly, clean, cleanEach, cleanLine } from '../../src/report/clean.js';
import { acts, hostileText, obeyed } from './hostile-text.js';

describe('clean', () => {
  test.each(Object.entries(hostileText))('%s is made harmless', (_, text) => {
    const shown = clean(text);
    expect(shown).not.toMatch(acts);
    expect(shown).not.toMatch(obeyed);
    expect(shown).not.toContain('\n');
  });

  test('what is taken away is shown', () => {
    expect(clean('\u001b[2J')).toBe('\\u{1b}[2J');
    expect(clean('a\u202Eb\u009bc\uD800d\u{E0041}')).toBe('a\\u{202e}b\\u{9b}c\\u{d800}d\\u{e0041}');
    expect(clean('B\u3164')).toBe('B\\u{3164}');
    expect(clean('##[error]')).toBe('\\u{23}#[error]');
    expect(clean('::error::x')).toBe('\\u{3a}:error::x');
    expect(clean('mode\uFE0F')).toBe('mode\\u{fe0f}');
  });

  test('tabs and line ends become blanks', () => {
    expect(clean('a\tb\nc\r\nd')).toBe('a b c  d');
  });

  test.each([
    'plain',
    '4.7 k\u03A9 \u00B110 % \u00B5F 90\u00B0C',
    'K\u00FChlger\u00E4t \u51B0\u7BB1 \u{1F527}',
    '\u26A0\uFE0F hot',
    'a::b',
    'http://x',
    '# a comment ## [b]',
    'e\u0301',
    '\\u{1b}',
  ])('%s stays as it is', (text) => {
    expect(clean(text)).toBe(text);
  });

  test('whatever the text: one line, nothing that acts, and nothing more to clean', () => {
    const sign = fc.constantFrom(
      ...Object.values(hostileText),
      ':',
      '#',
      '[',
      ' ',
      '\uFE0F',
      '\u{1F527}',
      'a',
    );
    const text = fc.oneof(
      fc.array(sign).map((signs) => signs.join('')),
      fc.string({ unit: 'binary' }),
    );
    fc.assert(
      fc.property(text, (given) => {
        const shown = clean(given);
        expect(shown).not.toMatch(acts);
        expect(shown).not.toMatch(obeyed);
        expect(clean(shown)).toBe(shown);
        expect(
          cleanEach(given)
            .map(([, each]) => each)
            .join(''),
        ).toBe(shown);
        expect(
          cleanEach(given)
            .map(([each]) => each)
            .join(''),
        ).toBe(given);
      }),
    );
  });

  test.each(['\u001b', '#', '##a', ':', ' :', '\uFE0F', 'a', '##[', '\\u{'])(
    'a million of %j come to an end',
    (piece) => {
      expect(clean(piece.repeat(1_000_000)).length).toBeGreaterThanOrEqual(1_000_000);
    },
  );
});

describe('cleanLine', () => {
  test('a text that fits is left whole', () => {
    expect(cleanLine('x'.repeat(200))).toBe('x'.repeat(200));
  });

  test('a longer one ends in an ellipsis, at the length asked for', () => {
    expect(cleanLine('x'.repeat(201))).toBe(`${'x'.repeat(199)}…`);
    expect(cleanLine('abcdef', 4)).toBe('abc…');
  });

  test('neither an escape nor a pair is cut in two', () => {
    expect(cleanLine('ab\u001bcd', 6)).toBe('ab…');
    expect(cleanLine('ab\u{10FFFE}cd', 12)).toBe('ab\u{10FFFE}cd');
    expect(cleanLine('ab\u{E0041}cd', 10)).toBe('ab…');
    expect(cleanLine('ab\u{1F527}cd', 4)).toBe('ab…');
  });

  test('it never grows beyond its length, and a huge text takes no time', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), fc.integer({ min: 1, max: 30 }), (text, most) => {
        const shown = cleanLine(text, most);
        expect(shown.length).toBeLessThanOrEqual(most);
        expect(shown).not.toMatch(acts);
      }),
    );
    // One text for all: putting it together is what would take the time.
    const huge = '\u001b'.repeat(1_000_000);
    for (let index = 0; index < 1000; index += 1) cleanLine(huge);
  });
});

describe('asciiOnly', () => {
  test('signs of the trade as people type them', () => {
    expect(asciiOnly('4.7 k\u03A9 22 \u00B5F \u00B110 % 90\u00B0C \u201Cx\u201D a\u2026')).toBe(
      '4.7 kohm 22 uF +/-10 % 90degC "x" a...',
    );
  });

  test('anything else as an escape', () => {
    expect(asciiOnly('\u51B0 \u{1F527}')).toBe('\\u{51b0} \\u{1f527}');
  });

  test('ASCII stays', () => {
    expect(asciiOnly('a ~ b\n')).toBe('a ~ b\n');
  });
});
