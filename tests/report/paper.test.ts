/** One document, three forms: each says the same, and text from outside stays text in all of them (SEC-14). */
import { describe, expect, test } from 'vitest';
import { clean } from '../../src/report/clean.js';
import { asHtml } from '../../src/report/paper/as-html.js';
import { asMarkdown } from '../../src/report/paper/as-markdown.js';
import { asText } from '../../src/report/paper/as-text.js';
import type { Paper } from '../../src/report/paper/paper.js';
import { readMarkdown, readMarkup } from './markup.js';

/** What a browser, a Markdown reader or a terminal could be made to obey. */
const payloads: readonly string[] = [
  '<script>alert(1)</script>',
  '</title></style><script>1</script>',
  '"><img src=x onerror=alert(1)>',
  "' onmouseover='alert(1)",
  '</td></tr></table><h1>owned',
  ']]>x<![CDATA[y]]><!-- z',
  '<!--x--><?php y ?>',
  '&lt;b&gt; &amp; &#60;',
  '[click](javascript:alert(1))',
  '![x](http://example.invalid/x.png)',
  '<http://example.invalid> http://example.invalid/a www.example.invalid a@example.invalid',
  '[ref]: http://example.invalid "t"',
  '| a | b |',
  '`code` ``` fence ~~~',
  '*em* **strong** __strong__ _em_ ~~gone~~',
  '# heading',
  '- item',
  '+ item',
  '* item',
  '1. item',
  '2) item',
  '> quote',
  '===',
  '---',
  '\\| \\` \\<b>',
  '$x$ $$y$$ @name #12 :smile:',
  'line\nbreak\r\n\n# heading',
  '    indented code',
  '\tindented code',
  '\u001b[2J\u009b2J\u0007',
  '\u202egnp.exe\u202c \u200b\ufeff',
  'a\ud800b',
  '^[note]: text [^note]',
  '[ ] not a box',
  'x\u2028y',
];

const blank = (text: string) => text.replace(/\s+/g, ' ').trim();

function paperOf(text: string): Paper {
  return {
    title: text,
    blocks: [
      { kind: 'heading', text },
      { kind: 'paragraph', text },
      { kind: 'paragraph', text, role: 'danger' },
      { kind: 'list', items: [text, text] },
      { kind: 'ticks', items: [text] },
      {
        kind: 'form',
        fields: [
          { label: text, value: text },
          { label: text, room: 'lines' },
        ],
      },
      {
        kind: 'table',
        columns: [{ head: text, width: 50 }, { head: 'b' }],
        groups: [
          {
            caption: text,
            rows: [
              [text, 'ok'],
              [text, { box: 'V' }],
            ],
          },
        ],
      },
      {
        kind: 'figure',
        caption: text,
        svgs: ['<svg xmlns="http://www.w3.org/2000/svg"/>'],
        lines: () => ['`'.repeat(5)],
      },
      { kind: 'page' },
    ],
  };
}

const htmlNames: ReadonlySet<string> = new Set(
  'html html@lang head meta meta@charset meta@http-equiv meta@content meta@name title style body main h1 h2 p p@class ul ul@class li span span@class dl div div@class dt dd table table@class colgroup col col@style thead tr tr@class th th@scope th@colspan tbody td td@class figure svg svg@xmlns figcaption'.split(
    ' ',
  ),
);

const markdownNames: ReadonlySet<string> = new Set(
  'main h1 h2 p strong ul ul@class li li@class input input@type input@disabled table thead tbody tr th td pre code hr'.split(
    ' ',
  ),
);

/** Those names that are none of ours. */
function foreign(names: ReadonlySet<string>, own: ReadonlySet<string>): string[] {
  return [...names].filter((name) => !own.has(name));
}

/** How often a text is told: everything a reader sees but the boxes. */
const times = 15;

describe('text from outside stays text', () => {
  test.each(payloads)('HTML: %j', (payload) => {
    const { names, text, rows, attributes } = readMarkup(asHtml(paperOf(payload)));
    expect(foreign(names, htmlNames)).toEqual([]);
    expect(attributes.filter((each) => each.includes('alert') || each.includes('invalid'))).toEqual([]);
    const shown = blank(clean(payload));
    expect(blank(text).split(shown)).toHaveLength(times + 1);
    expect(rows.map((row) => row.length)).toEqual([2, 1, 2, 2]);
  });

  test.each(payloads)('Markdown: %j', (payload) => {
    const { names, text, rows } = readMarkdown(asMarkdown(paperOf(payload)));
    expect(foreign(names, markdownNames)).toEqual([]);
    const shown = blank(clean(payload));
    expect(blank(text).split(shown)).toHaveLength(times + 1);
    expect(rows.map((row) => row.length)).toEqual([2, 2, 2]);
    expect(rows[1]?.map(blank)).toEqual([shown, 'ok']);
  });

  test.each(payloads)('terminal: %j', (payload) => {
    const out = asText(paperOf(payload), { level: 0, width: 400, ascii: false });
    // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what must not be there
    expect(out).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u2028-\u202e\ud800-\udfff\ufeff]/u);
  });
});

describe('the three forms', () => {
  const paper = paperOf('Fan motor, 120 V');

  test('say the same words in the same order', () => {
    const words = (text: string) =>
      text
        .replace(/\[ \]|[_`─\-|*#]+/g, ' ')
        .toLowerCase()
        .split(/\s+/)
        .filter((word) => word !== '');
    const html = words(readMarkup(asHtml(paper).replace(/>/g, '> ')).text);
    const plain = words(asText(paper, { level: 0, width: 200, ascii: false }).replace(/:/g, ''));
    const markdown = words(readMarkdown(asMarkdown(paper)).text.replace(/:/g, ''));
    // A group's caption stands in the table on paper and above it elsewhere.
    expect([...plain].sort()).toEqual([...html].sort());
    expect([...markdown].sort()).toEqual([...html].sort());
  });

  test('a policy lets a browser fetch and run nothing', () => {
    const html = asHtml(paper);
    expect(html).toContain("default-src 'none'");
    expect(html).not.toMatch(/<script|<link|<img|url\(|@import|\bon\w+=|src=|href=/);
  });

  test('a box is for a pen: a place in each form', () => {
    expect(asHtml(paper)).toContain('<td class="box"><span>V</span></td>');
    expect(asMarkdown(paper)).toContain('| \\_\\_\\_\\_\\_\\_\\_\\_ V |');
    expect(asText(paper, { level: 0, width: 80, ascii: true })).toContain('______ V');
  });
});
