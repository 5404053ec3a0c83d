/** What every JSON answer says of itself. */
export interface Envelope {
  readonly tool: { readonly name: string; readonly version: string };
  readonly inputs: readonly { readonly path: string; readonly sha256: string }[];
}

/** A whole JSON answer as text: one object, two-space indent, a line end behind it. */
export function showJson(
  command: string,
  envelope: Envelope,
  answer: Readonly<Record<string, unknown>>,
): string {
  const whole = { loadside: 'report/1', command, ...envelope, ...answer };
  // JSON.stringify leaves DEL and the C1 controls raw; a terminal would act on them.
  const text = JSON.stringify(whole, null, 2).replace(
    /[\u007f-\u009f\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]/g,
    (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
  return `${text}\n`;
}
