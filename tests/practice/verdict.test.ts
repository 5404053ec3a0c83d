import { expect, test } from 'vitest';
import { readVerdict } from '../../src/practice/practice.js';
import { circuitAt, example, warmerPath } from './open.js';

const warmer = circuitAt(warmerPath);

test.each([
  ['TF', { ok: true, part: 'TF' }],
  ['tf', { ok: true, part: 'TF' }],
  ['thermal cut-out', { ok: true, part: 'TF' }],
  ['TF:open', { ok: true, part: 'TF', mode: 'open' }],
  ['Heating plate: open', { ok: true, part: 'HEAT', mode: 'open' }],
  ['TF:high-resistance=20 ohm', { ok: true, part: 'TF', mode: 'high-resistance' }],
  ['TF.1', { ok: true, part: 'TF' }],
  ['blue wire', { ok: false, what: 'part' }],
  ['heating plat', { ok: false, what: 'part', nearest: 'heating plate' }],
  ['TF:opne', { ok: false, what: 'way to fail', of: 'TF', nearest: 'open' }],
  ['', { ok: false, what: 'part' }],
])('%s', (said, verdict) => expect(readVerdict(warmer, said)).toMatchObject(verdict));

test('a pin of a connector has a colon of its own', () => {
  const oven = example('wall-oven');
  expect(readVerdict(oven, 'TB:1')).toEqual({ ok: true, part: 'TB:1' });
  expect(readVerdict(oven, 'TB:1:open')).toEqual({ ok: true, part: 'TB:1', mode: 'open' });
  expect(readVerdict(oven, 'SEL.bake')).toEqual({ ok: true, part: 'SEL' });
});
