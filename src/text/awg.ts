/** "18 AWG", "0 AWG" (which is 1/0), "4/0 AWG". */
const gauge = /^([0-9]{1,2}|[1-4]\/0)\s*AWG$/;

/** Thinner wires than this are not found in an appliance. */
const thinnest = 40;

/** The cross-section in mm2 a text gives as an American wire gauge; undefined when it gives none. */
export function readAwg(text: string): number | undefined {
  const [, size] = gauge.exec(text.trim()) ?? [];
  if (size === undefined) return undefined;
  const number = size.endsWith('/0') ? 1 - Number(size[0]) : Number(size);
  return number > thinnest ? undefined : awgArea(number);
}

/**
 * Cross-section in mm2 of a solid round wire of gauge n. ASTM B258 gives the diameter as
 * d(n) = 0.127 mm x 92^((36 - n) / 39), where 1/0 to 4/0 are n = 0 to -3.
 */
function awgArea(n: number): number {
  const diameter = 0.127 * 92 ** ((36 - n) / 39);
  return (Math.PI / 4) * diameter ** 2;
}
