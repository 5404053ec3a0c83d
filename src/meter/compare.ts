import type { Expected } from './expected.js';
import type { Reading } from './readings.js';
import type { Unsettled } from './test-stand.js';

/** `inconclusive`: nothing was written down, or the place floats and what was shown proves nothing. */
export type Verdict = 'agrees' | 'differs' | 'inconclusive';

/** Of one count of the display: a solved voltage may be off by as little, and a reading at the very end of its band is in it. */
const rounding = 1e-6;

/**
 * A reading against what it should be. Written as "inside the band", so that nothing but a number inside it
 * agrees. On a floating place a high-impedance meter may show anything up to the highest live voltage: no
 * conclusion; a low-impedance input shows about zero.
 */
export function compare(reading: Reading, expected: Expected | Unsettled): Verdict {
  const { shown } = reading;
  if (shown.kind === 'blank' || (expected.kind !== 'driven' && expected.kind !== 'floating'))
    return 'inconclusive';
  if (shown.kind === 'over-range') {
    return expected.kind === 'floating' && expected.unit === shown.unit && shown.unit === 'ohm'
      ? 'agrees'
      : 'differs';
  }
  const slack = rounding * reading.meter.accuracy.resolution;
  if (expected.kind === 'driven') {
    const value = expected.signed === true ? shown.value : Math.abs(shown.value);
    return value >= expected.low - slack && value <= expected.high + slack ? 'agrees' : 'differs';
  }
  if (expected.unit !== 'V') return 'differs';
  if (!(Math.abs(shown.value) <= expected.high + slack)) return 'differs';
  return reading.meter.input === 'low-impedance' ? 'agrees' : 'inconclusive';
}
