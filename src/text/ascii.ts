const ascii = /^[\t\n\r -~]*$/;

/**
 * Nothing but printable ASCII, tabs and line ends, as nearly every text is: looked at first, for the first use of
 * Unicode's properties or normal forms in a process costs more than reading the file.
 */
export function isAscii(text: string): boolean {
  return ascii.test(text);
}

/** A normal form of Unicode, all of which leave ASCII as it is. */
export function normalised(text: string, form: 'NFC' | 'NFKC'): string {
  return isAscii(text) ? text : text.normalize(form);
}
