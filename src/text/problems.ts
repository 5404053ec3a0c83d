import type { ProblemOf, Severity } from './problem.js';

/** Codes of this floor, general to specific, each with what it carries. */
export interface TextProblemData {
  /** Bytes that are not UTF-8; `guess` names the likely encoding when it can be told. */
  'encoding-unknown': { readonly guess: string | undefined };
  /** A control, zero-width or direction character that a text file has no use for. */
  'character-forbidden': { readonly character: string };
  /** `what` is one of: bytes, nesting, keys in one map, aliases, text length, items, rows. */
  'limit-exceeded': {
    readonly what: string;
    readonly found: number;
    readonly limit: number;
    readonly unit: string;
  };
  /** The YAML parser's own finding, in our words where we have them (`detail` is free of raw file text). */
  'yaml-syntax': { readonly detail: string };
  /** `detail` is free of raw file text. */
  'json-syntax': { readonly detail: string };
  'yaml-duplicate-key': { readonly key: string };
  'yaml-alias': Record<string, never>;
  'yaml-merge-key': Record<string, never>;
  'yaml-tag': { readonly tag: string };
  'yaml-version': { readonly found: string };
  'yaml-several-documents': Record<string, never>;
  'yaml-conflict-marker': Record<string, never>;
  'yaml-key-kind': { readonly found: string };
  'file-empty': { readonly expected: string };
  /** Another kind of file than is `expected`; undefined where it does not say. */
  'file-kind': { readonly found: string | undefined; readonly expected: string };
  /** The disk does not give it. */
  'file-unusable': { readonly reason: string };
  'key-unknown': {
    readonly key: string;
    readonly allowed: readonly string[];
    readonly nearest: string | undefined;
    /** Without a colon, as what stands behind a comma inside { } is. */
    readonly bare?: boolean;
  };
  'key-missing': { readonly key: string };
  /** `expected` is a phrase such as "a list", "text", "a map"; `found` likewise, with the value when short. */
  'value-kind': { readonly found: string; readonly expected: string; readonly hint: string | undefined };
  'value-choice': {
    readonly found: string;
    readonly allowed: readonly string[];
    readonly nearest: string | undefined;
  };
  'value-count': {
    readonly found: number;
    readonly least: number | undefined;
    readonly most: number | undefined;
  };
  'value-range': {
    readonly found: number;
    readonly least: number | undefined;
    readonly most: number | undefined;
  };
  'name-form': { readonly found: string };
  'text-length': { readonly found: number; readonly most: number };
  'csv-syntax': { readonly detail: string };
  'csv-header': {
    readonly found: string;
    readonly allowed: readonly string[];
    readonly nearest: string | undefined;
  };
  'quantity-number': { readonly found: string; readonly dimension: string; readonly example: string };
  'quantity-comma': { readonly found: string; readonly fix: string };
  'quantity-unit': {
    readonly found: string;
    readonly unit: string;
    readonly dimension: string;
    readonly units: readonly string[];
    readonly nearest: string | undefined;
  };
  /** `least` and `most` with their unit; the value must lie above `least` when it is exclusive. */
  'quantity-range': {
    readonly found: string;
    readonly dimension: string;
    readonly least: string | undefined;
    readonly most: string | undefined;
    readonly exclusiveLeast?: boolean;
  };
  /** A remark that would allow a finding and can't be read as one. */
  'allow-form': Record<string, never>;
  'allow-unknown': { readonly found: string; readonly nearest: string | undefined };
  /** What is wrong with a file, or is about safety, is never allowed. */
  'allow-refused': { readonly found: string };
  'allow-unused': { readonly found: string };
}

export type TextProblem = ProblemOf<TextProblemData>;

export const textSeverities: Readonly<Record<keyof TextProblemData, Severity>> = {
  'encoding-unknown': 'error',
  'character-forbidden': 'error',
  'limit-exceeded': 'error',
  'yaml-syntax': 'error',
  'json-syntax': 'error',
  'yaml-duplicate-key': 'error',
  'yaml-alias': 'error',
  'yaml-merge-key': 'error',
  'yaml-tag': 'error',
  'yaml-version': 'error',
  'yaml-several-documents': 'error',
  'yaml-conflict-marker': 'error',
  'yaml-key-kind': 'error',
  'file-empty': 'error',
  'file-kind': 'error',
  'file-unusable': 'error',
  'key-unknown': 'error',
  'key-missing': 'error',
  'value-kind': 'error',
  'value-choice': 'error',
  'value-count': 'error',
  'value-range': 'error',
  'name-form': 'error',
  'text-length': 'error',
  'csv-syntax': 'error',
  'csv-header': 'error',
  'quantity-number': 'error',
  'quantity-comma': 'error',
  'quantity-unit': 'error',
  'quantity-range': 'error',
  'allow-form': 'error',
  'allow-unknown': 'error',
  'allow-refused': 'error',
  'allow-unused': 'warning',
};
