/** What every JSON answer says of itself. */
export interface Envelope {
  readonly tool: { readonly name: string; readonly version: string };
  readonly inputs: readonly { readonly path: string; readonly sha256: string }[];
}

/** DEL, the C1 controls, and characters that are not seen but act on a terminal or an editor. */
const acting = /[\p{Cf}\p{Zl}\p{Zp}\u007f-\u009f]/gu;

/** A whole JSON answer as text: one object, two-space indent, a line end behind it. */
export function showJson(
  command: string,
  envelope: Envelope,
  answer: Readonly<Record<string, unknown>>,
): string {
  return jsonText({ loadside: 'report/1', command, ...envelope, ...answer });
}

/** JSON that is safe to look at, with a line end behind it. */
export function jsonText(whole: Readonly<Record<string, unknown>>): string {
  // JSON.stringify escapes the C0 controls only.
  return `${JSON.stringify(whole, null, 2).replace(acting, escaped)}\n`;
}

/** A text in double quotes, every character that acts unseen as an escape: as JSON and YAML 1.2 read it. */
export function quoted(text: string): string {
  return JSON.stringify(text).replace(acting, escaped);
}

/** Each UTF-16 unit of a character as JSON escapes it. */
function escaped(character: string): string {
  return character
    .split('')
    .map((unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`)
    .join('');
}
