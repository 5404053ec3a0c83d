/**
 * Sheets and records as a browser has them: nothing runs, nothing is fetched, nothing is complained of, and every page
 * fits the paper. Debian's chromium is driven; where none is installed the tests say that they are skipped.
 */
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { exchanged, hood, hoodText, noFanText } from './example-files.js';
import { run } from './run.js';

const executablePath = '/usr/bin/chromium';
const isInstalled = existsSync(executablePath);
const name = isInstalled ? 'in chromium' : `in chromium: skipped, for there is no ${executablePath}`;

const hostile = `</title><script>document.title='owned'</script><img src="http://example.invalid/x.png" onerror="alert(1)"/>`;

/** Where a person's own words go. */
const spoiltCircuit = exchanged(
  exchanged(hoodText, 'Range hood, four speeds by push-button', JSON.stringify(hostile)),
  'title: speed control',
  `title: ${JSON.stringify(hostile)}`,
);
const spoiltReadings = `${exchanged(noFanText, 'note: control cover off', `note: ${JSON.stringify(hostile)}`)}record: { complaint: ${JSON.stringify(hostile)} }\n`;
const files = { 'c.yaml': spoiltCircuit, 'r.yaml': spoiltReadings };

const documents: readonly {
  readonly what: string;
  readonly args: readonly string[];
  readonly pages: number;
  /** Printed the way round that it asks for. */
  readonly css?: true;
}[] = [
  { what: 'worksheet', args: ['sheet', hood, '--load', 'FAN'], pages: 2 },
  { what: 'hostile worksheet', args: ['sheet', 'c.yaml', '--load', 'FAN', '--part', 'CTL'], pages: 6 },
  { what: 'hostile record', args: ['report', 'r.yaml', '--circuit', 'c.yaml'], pages: 6 },
  // A page a sheet, and none more: its height is the page's but for half a millimetre.
  { what: 'drawing', args: ['draw', 'c.yaml', '--state', 'speed-1'], pages: 2, css: true },
];

/** Millimetres that a sheet leaves between the margins of our print style; 96 dots are an inch (CSS Values 3, 6.2). */
const printed = { A4: 210 - 24, Letter: 215.9 - 24 } as const;
const dotsPerMillimetre = 96 / 25.4;

/** Elements that reach over the right edge of the page, or whose text is wider than they are; for the browser to run. */
const overflowing = `[...document.body.querySelectorAll('*')].flatMap((element) => {
  const edge = document.documentElement.clientWidth;
  const { right } = element.getBoundingClientRect();
  const inSvg = element.closest('svg') !== null && element.tagName !== 'svg';
  const cut = !inSvg && element.clientWidth > 0 && element.scrollWidth > element.clientWidth + 1;
  return right > edge + 1 || cut ? [element.tagName + ' ' + element.textContent.slice(0, 40)] : [];
})`;

describe.skipIf(!isInstalled)(name, () => {
  let browser: Browser;
  let folder = '';

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'loadside-'));
    const args = ['--no-sandbox', '--disable-quic', '--no-first-run', '--disable-background-networking'];
    browser = await chromium.launch({ executablePath, args });
  }, 60_000);

  afterAll(async () => {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
  });

  test.each(documents)(
    '$what',
    async ({ what, args, pages, css = false }) => {
      const { out, status } = await run([...args, '--format', 'html'], { files });
      expect(status).toBe(0);
      const path = join(folder, `${what}.html`);
      writeFileSync(path, out);
      const page = await browser.newPage();
      const told: string[] = [];
      page.on('console', (message) => told.push(`console: ${message.text()}`));
      page.on('pageerror', (error) => told.push(`error: ${error.message}`));
      page.on('dialog', (dialog) => told.push(`dialog: ${dialog.message()}`));
      page.on('request', (request) => told.push(`request: ${request.url()}`));
      const url = pathToFileURL(path).href;
      await page.goto(url);
      expect(told).toEqual([`request: ${url}`]);
      expect(await page.locator('script, img, link, iframe, object, a').count()).toBe(0);
      expect(await page.title()).not.toBe('owned');
      await page.emulateMedia({ media: 'print' });
      for (const format of ['A4', 'Letter'] as const) {
        const width = Math.floor(printed[format] * dotsPerMillimetre);
        await page.setViewportSize({ width, height: 900 });
        expect([format, await page.evaluate(overflowing)]).toEqual([format, []]);
        const pdf = (await page.pdf({ format, preferCSSPageSize: css })).toString('latin1');
        const count = pdf.match(/\/Type\s*\/Page\b/g)?.length ?? 0;
        expect(count).toBeGreaterThan(0);
        expect(count).toBeLessThanOrEqual(pages);
      }
      await page.close();
    },
    60_000,
  );
});
