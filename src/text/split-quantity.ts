import { normalised } from './ascii.js';

/** A quantity in two: its number and what stands behind it. */
export interface SplitQuantity {
  /** The whole text, without blanks around it. */
  readonly written: string;
  /** Finite. */
  readonly number: number;
  /** After Unicode NFKC, without blanks around it; empty for a bare number. */
  readonly unit: string;
}

/** Why a text has no number at its head; a fix where it is plain what was meant. */
export interface BrokenNumber {
  readonly kind: 'number' | 'comma';
  readonly written: string;
  readonly fix: string | undefined;
}

const leadingNumber = /^([-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?)(.*)$/s;

/**
 * One grammar for numbers: sign, digits, a dot, an exponent, in ASCII. Anything that goes on like a number but is
 * none (119,8; 1 000; 12O; 4k7; 1.2.3; 1e999) is broken, never cut short.
 */
export function splitQuantity(text: string): SplitQuantity | BrokenNumber {
  const written = text.trim();
  const fix = commaFix(written);
  if (fix !== undefined) return { kind: 'comma', written, fix };
  const [, digits = '', rest = ''] = leadingNumber.exec(written) ?? [];
  const number = Number(digits);
  const vanished = number === 0 && /^[-+0.]*[1-9]/.test(digits);
  // NFKC only behind the digits: before, it would turn a raised 2 into one of them.
  const unit = normalised(rest.trim(), 'NFKC');
  const goesOn = /^[0-9.'_\u2019]/.test(unit);
  const broken = digits === '' || !Number.isFinite(number) || vanished || goesOn;
  const numberFix = infixFix(written) ?? groupedFix(written) ?? letterFix(written);
  if (broken || numberFix !== undefined) return { kind: 'number', written, fix: numberFix };
  return { written, number, unit };
}

/** A comma in or right behind the digits: a decimal comma, or thousands set apart. */
function commaFix(written: string): string | undefined {
  const match = /^([-+]?[0-9.]*(?:,[0-9.]*)+)(.*)$/s.exec(written);
  if (match === null) return undefined;
  const [, digits = '', rest = ''] = match;
  if (!/[0-9]/.test(digits)) return undefined;
  const unit = rest.trim() === '' ? '' : ` ${rest.trim()}`;
  return withoutComma(digits)
    .map((number) => `${number}${unit}`)
    .join(' or ');
}

/** "119,8" is 119.8; "1.234,5" and "1,234.5" are 1234.5; "1,198" may be either, so both are named. */
function withoutComma(digits: string): string[] {
  const together = digits.replaceAll(',', '');
  const dot = digits.lastIndexOf('.');
  const comma = digits.lastIndexOf(',');
  if (dot > comma || digits.length - together.length > 1) return [together];
  if (dot !== -1) return [digits.replaceAll('.', '').replace(',', '.')];
  const decimal = digits.replace(',', '.').replace(/\.$/, '');
  return /^[-+]?[1-9][0-9]{0,2},[0-9]{3}$/.test(digits) ? [decimal, together] : [decimal];
}

/** "4k7", as components are marked (IEC 60062, from memory): the letter stands where the dot is. */
function infixFix(written: string): string | undefined {
  const match =
    /^([-+]?[0-9]+)([pnumkKMGRVOo\u00B5\u03BC\u03A9\u2126])([0-9]+)(?:\s*(?:ohms?|[\u03A9\u2126FH]))?$/.exec(
      written,
    );
  if (match === null) return undefined;
  const [, whole = '', letter = '', fraction = ''] = match;
  if (letter === 'O' || letter === 'o') return `${whole}0${fraction}`;
  const number = `${whole}.${fraction}`;
  if (letter === 'V') return `${number} V`;
  if (/^[pnu\u00B5\u03BC]$/.test(letter))
    return `${number} ${letter === 'p' || letter === 'n' ? letter : 'u'}F`;
  const prefix = letter === 'K' ? 'k' : /^[mkMG]$/.test(letter) ? letter : '';
  return `${number} ${prefix}ohm`;
}

/** "1 000 V": digits in groups of three. */
function groupedFix(written: string): string | undefined {
  const [grouped] = /^[-+]?[0-9]{1,3}(?:[\s_'\u2019][0-9]{3})+(?![0-9])/.exec(written) ?? [];
  return grouped === undefined
    ? undefined
    : grouped.replace(/[\s_'\u2019]/g, '') + written.slice(grouped.length);
}

/** "12O V": the letter O among the digits. */
function letterFix(written: string): string | undefined {
  const [mixed] = /^[-+]?[0-9][0-9.]*[Oo][0-9Oo]*(?=\s|$)/.exec(written) ?? [];
  return mixed === undefined ? undefined : mixed.replace(/[Oo]/g, '0') + written.slice(mixed.length);
}
