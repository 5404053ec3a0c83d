/** Volts, amps, ohms or siemens as a phasor. */
export interface Complex {
  readonly re: number;
  readonly im: number;
}

export function add(a: Complex, b: Complex): Complex {
  return { re: a.re + b.re, im: a.im + b.im };
}

export function subtract(a: Complex, b: Complex): Complex {
  return { re: a.re - b.re, im: a.im - b.im };
}

export function multiply(a: Complex, b: Complex): Complex {
  return { re: a.re * b.re - a.im * b.im, im: a.re * b.im + a.im * b.re };
}

export function divide(a: Complex, b: Complex): Complex {
  const square = b.re * b.re + b.im * b.im;
  return { re: (a.re * b.re + a.im * b.im) / square, im: (a.im * b.re - a.re * b.im) / square };
}

/** Of a vector by node, between two nodes; the common reference is 0. */
export function difference(
  vector: { readonly re: Float64Array; readonly im: Float64Array },
  a: number,
  b: number,
): Complex {
  return {
    re: (a < 0 ? 0 : vector.re[a]!) - (b < 0 ? 0 : vector.re[b]!),
    im: (a < 0 ? 0 : vector.im[a]!) - (b < 0 ? 0 : vector.im[b]!),
  };
}
