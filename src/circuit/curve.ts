import type { Ohms } from './units.js';

/** Ohms over degC, and the temperatures it is good for. */
export type Curve = { readonly from: number; readonly to: number } & (
  | { readonly kind: 'beta'; readonly ohms: Ohms; readonly at: number; readonly kelvin: number }
  | { readonly kind: 'platinum'; readonly ohmsAtZero: Ohms }
  | { readonly kind: 'table'; readonly points: readonly CurvePoint[] }
);

export interface CurvePoint {
  readonly celsius: number;
  readonly ohms: Ohms;
}

const zeroCelsius = 273.15;

/** IEC 60751:2008 (tests/published/handbook.yaml H101 and after): R/R0 = 1 + A t + B t^2 + C (t - 100) t^3, C below 0 degC only. */
export const platinum: {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly from: number;
  readonly to: number;
} = { a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12, from: -200, to: 850 };

/** Where a beta fit is used at all (common practice, no source). */
export const betaRange: { readonly from: number; readonly to: number } = { from: -60, to: 350 };

/** Resistance at a temperature in degC. Throws outside the curve's own range, where nothing is known. */
export function curveOhms(curve: Curve, celsius: number): Ohms {
  if (celsius < curve.from || celsius > curve.to) throw new Error(`${celsius} degC is beyond the curve`);
  switch (curve.kind) {
    case 'beta': {
      const inverse = 1 / (celsius + zeroCelsius) - 1 / (curve.at + zeroCelsius);
      return curve.ohms * Math.exp(curve.kelvin * inverse);
    }
    case 'platinum': {
      const t = celsius;
      const below = t < 0 ? platinum.c * (t - 100) * t ** 3 : 0;
      return curve.ohmsAtZero * (1 + platinum.a * t + platinum.b * t * t + below);
    }
    case 'table':
      return betweenPoints(curve.points, celsius);
  }
}

/** Between two points ln R is straight over 1/T, as it is for a thermistor; for a metal that is as good as a line. */
function betweenPoints(points: readonly CurvePoint[], celsius: number): Ohms {
  const above = Math.max(
    1,
    points.findIndex((point) => point.celsius >= celsius),
  );
  const [low, high] = [points[above - 1], points[above]];
  if (low === undefined || high === undefined) throw new Error('a curve with fewer than two points');
  const inverse = (point: number) => 1 / (point + zeroCelsius);
  const share = (inverse(celsius) - inverse(low.celsius)) / (inverse(high.celsius) - inverse(low.celsius));
  return low.ohms * (high.ohms / low.ohms) ** share;
}
