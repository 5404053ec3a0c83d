/** Text that a spreadsheet would take for a formula (OWASP ASVS 5.0, 1.2.10, from memory): an apostrophe keeps it text. */
const formula = /^[=+\-@\t\r\0]/;

/** A table as CSV (RFC 4180, with plain line ends): texts guarded, numbers as they are, an empty cell for what is not known. */
export function csvText(
  head: readonly string[],
  rows: readonly (readonly (string | number | undefined)[])[],
): string {
  return [head, ...rows].map((row) => `${row.map(cell).join(',')}\n`).join('');
}

function cell(value: string | number | undefined): string {
  if (value === undefined) return '';
  if (typeof value === 'number') return String(value);
  const text = formula.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
