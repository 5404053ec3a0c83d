/** Text that tries to act on a terminal, a build log or a reader. Written as escapes so that this file is plain. */
export const hostileText: Readonly<Record<string, string>> = {
  'clear screen': '\u001b[2J\u001b[H',
  'set title': '\u001b]0;pwned\u0007',
  'fake link': '\u001b]8;;http://example.invalid\u001b\\click\u001b]8;;\u001b\\',
  clipboard: '\u001b]52;c;cm0gLXJm\u0007',
  'device control': '\u001bP1;2|payload\u001b\\',
  'one-byte CSI': '\u009b31mred',
  'one-byte OSC': '\u009d0;title\u009c',
  'unterminated OSC': '\u001b]0;never closed',
  'bell flood': '\u0007'.repeat(500),
  backspace: 'FAULT\b\b\b\b\bOK   ',
  'carriage return': 'FAULT\rOK   ',
  'next line': 'a\u0085::error::b',
  'vertical tab and form feed': 'a\u000bb\u000cc',
  null: 'a\u0000b',
  delete: 'a\u007fb',
  'right-to-left override': 'B1\u202Eni\u202C',
  isolates: '\u2066a\u2069',
  'zero width': 'B\u200B1\u200C\u200D\u2060\uFEFF',
  'soft hyphen': 'B\u00AD1',
  'hangul filler': 'B\u3164',
  'tag characters': 'B\u{E0041}\u{E0042}',
  'line separators': 'a\u2028b\u2029c',
  'lone surrogates': 'a\uD800b\uDC00c',
  'log command': '\n::error file=x::message',
  'log command behind blanks': ' \t ::add-mask::x',
  'log command in the middle': 'a ::warning::b',
  'old log command': 'a\n##[error]b',
  'old log command in the middle': 'a ##[error]b',
  'other log command': 'x ##vso[task.complete]y',
  selector: 'mode\uFE0F',
};

/** What may not come out: anything but printable text and line feeds. */
export const acts: RegExp = /(?!\n)[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/u;

/** Lines a build log would obey. */
export const obeyed: RegExp = /^\s*::|##[a-z]*\[/im;
