import { describe, expect, test } from 'vitest';
import { decode, readCircuitFile } from '../../src/text/text.js';
import { brief } from './show.js';

const text = 'loadside: circuit/1\ntitle: hood, 22 µF\nwirs: []\n';
const utf8 = (value: string) => new TextEncoder().encode(value);
const bytes = (...values: number[]) => Uint8Array.from(values);
const utf16 = (value: string, mark: boolean) => {
  const units = Buffer.from(`${mark ? '\u{FEFF}' : ''}${value}`, 'utf16le');
  return { little: Uint8Array.from(units), big: Uint8Array.from(Buffer.from(units).swap16()) };
};

describe('encodings', () => {
  test('UTF-8 is read, with or without a byte order mark, and the mark moves no column', () => {
    for (const given of [utf8(text), utf8(`\u{FEFF}${text}`)]) {
      const { source, problems } = decode('a.yaml', given);
      expect(problems).toEqual([]);
      expect(source).toEqual({ name: 'a.yaml', text });
      expect(readCircuitFile(source!).problems.map(brief)).toEqual(['key-unknown 3:1']);
    }
  });

  test.each([
    ['UTF-16', utf16(text, true).little],
    ['UTF-16', utf16(text, true).big],
    ['UTF-16', utf16(text, false).little],
    ['UTF-16', utf16(text, false).big],
    ['UTF-32', bytes(0xff, 0xfe, 0, 0, 0x61, 0, 0, 0)],
    ['Latin-1', Uint8Array.from(Buffer.from('title: Küche\n', 'latin1'))],
    ['Windows-1252', bytes(0x61, 0x3a, 0x20, 0x93, 0x78, 0x94)],
    [undefined, bytes(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0xff)],
  ])('anything else is named: %s', (guess, given) => {
    const { source, problems } = decode('a.yaml', given);
    expect(source).toBeUndefined();
    expect(problems).toMatchObject([{ code: 'encoding-unknown', data: { guess } }]);
  });

  test('the first byte that is not UTF-8 is located', () => {
    const given = Uint8Array.from(Buffer.from('title: x\nabout: Küche\n', 'latin1'));
    expect(decode('a.yaml', given).problems.map(brief)).toEqual(['encoding-unknown 2:9']);
  });

  test('a file over its limit is refused unread', () => {
    expect(decode('a.yaml', new Uint8Array(11), 10).problems).toMatchObject([
      { code: 'limit-exceeded', data: { what: 'bytes', found: 11, limit: 10 } },
    ]);
    expect(decode('a.yaml', utf8('0123456789'), 10).problems).toEqual([]);
  });
});

describe('characters', () => {
  test.each([
    ['NUL', '\u0000', 'U+0000'],
    ['escape', '\u001b', 'U+001B'],
    ['delete', '\u007f', 'U+007F'],
    ['C1 control sequence introducer', '\u009b', 'U+009B'],
    ['byte order mark inside', '\u{FEFF}', 'U+FEFF'],
    ['right-to-left override', '\u202e', 'U+202E'],
    ['left-to-right isolate', '\u2066', 'U+2066'],
    ['zero-width space', '\u200b', 'U+200B'],
    ['zero-width joiner', '\u200d', 'U+200D'],
    ['soft hyphen', '\u00ad', 'U+00AD'],
    ['line separator', '\u2028', 'U+2028'],
    ['tag character', '\u{E0041}', 'U+E0041'],
  ])('%s is refused where it stands, and never echoed', (_name, character, shown) => {
    const { source, problems } = decode('a.yaml', utf8(`a: 1\nb: x${character}y\n`));
    expect(source).toBeUndefined();
    expect(problems.map(brief)).toEqual(['character-forbidden 2:5']);
    expect(problems[0]?.data).toEqual({ character: shown });
  });

  test('tab, line feed and carriage return are not controls, nor are letters, signs and emoji', () => {
    expect(decode('a.yaml', utf8('a:\t1\r\nb: 40 Ω, 22 µF, 0.75 mm², Küche, 台所, 🔌\r')).problems).toEqual(
      [],
    );
  });

  test('a file full of one character is one problem', () => {
    expect(decode('a.yaml', utf8('\u0000'.repeat(100_000))).problems).toHaveLength(1);
    expect(decode('a.yaml', utf8('\u0001\u0002'.repeat(50_000))).problems).toHaveLength(2);
  });
});
