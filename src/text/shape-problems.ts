import type { Document } from './document.js';
import type { TextProblem, TextProblemData } from './problems.js';
import { short } from './quantity.js';
import type { ShapeRef } from './shape-keys.generated.js';
import { type PlacedError, valueAt } from './shape-places.js';
import { nearestName } from './suggest.js';

type Worded = {
  [Code in keyof TextProblemData]: { readonly code: Code; readonly data: TextProblemData[Code] };
}[keyof TextProblemData];

/** What a definition of single values asks for, by its name in the schemas. */
const wanted: Readonly<Record<string, string>> = {
  name: 'a name',
  node: 'a node, such as CTL.4',
  loadName: 'the name of a load',
  wireId: 'the id of a wire',
  position: 'a position',
  quantity: 'a quantity with its unit',
};

const kinds: Readonly<Record<string, string>> = {
  object: 'a map',
  array: 'a list',
  string: 'text',
  number: 'a number',
  integer: 'a whole number',
  boolean: 'true or false',
  null: 'nothing',
};

/** The validator's error as one of our problems. `shape` is what belongs at the map or value it is about. */
export function wordShapeError(
  document: Document,
  one: PlacedError,
  shape: ShapeRef | undefined,
): TextProblem {
  const { source } = document;
  return { ...word(document, one, shape), at: { source, span: one.span } } as TextProblem;
}

function word(document: Document, one: PlacedError, shape: ShapeRef | undefined): Worded {
  const { params, keyword } = one.error;
  const value = valueAt(document.data, one.path);
  switch (keyword) {
    case 'additionalProperties':
      return keyUnknown(String(one.path.at(-1)), shape, value === null && isBare(document, one));
    case 'required':
      return { code: 'key-missing', data: { key: String(params['missingProperty']) } };
    case 'propertyNames':
      return { code: 'name-form', data: { found: short(String(params['propertyName'])) } };
    case 'pattern':
      return { code: 'name-form', data: { found: short(String(value)) } };
    case 'enum':
      return valueChoice(document, one, value, asList(params['allowedValues']));
    case 'const':
      return valueChoice(document, one, value, [params['allowedValue']]);
    case 'type':
      return valueKind(document, one, value, shape);
    case 'maxLength':
      return { code: 'text-length', data: { found: String(value).length, most: Number(params['limit']) } };
    case 'minItems':
    case 'minProperties':
      return {
        code: 'value-count',
        data: { found: countOf(value), least: Number(params['limit']), most: undefined },
      };
    case 'maxItems':
    case 'maxProperties':
      return {
        code: 'value-count',
        data: { found: countOf(value), least: undefined, most: Number(params['limit']) },
      };
    case 'minimum':
    case 'exclusiveMinimum':
      return {
        code: 'value-range',
        data: { found: Number(value), least: Number(params['limit']), most: undefined },
      };
    case 'maximum':
    case 'exclusiveMaximum':
      return {
        code: 'value-range',
        data: { found: Number(value), least: undefined, most: Number(params['limit']) },
      };
    default:
      throw new Error(`no problem stands for the schema keyword ${keyword}`);
  }
}

function keyUnknown(key: string, shape: ShapeRef | undefined, bare: boolean): Worded {
  const allowed = typeof shape === 'object' ? Object.keys(shape.keys ?? {}) : [];
  // "at-least 45 V" lacks its colon, and "in:lamp" the space behind it.
  const [first = ''] = key.split(/[ :]/);
  const nearest = nearestName(key, allowed) ?? allowed.find((known) => known === first);
  return { code: 'key-unknown', data: { key: short(key), allowed, nearest, ...(bare ? { bare } : {}) } };
}

/** Whether a key lacks its colon: inside { } what stands behind a comma is taken for one. */
function isBare({ source }: Document, { span }: PlacedError): boolean {
  return /^\s*[,}]/.test(source.text.slice(span.end, span.end + 80));
}

function valueChoice(
  document: Document,
  one: PlacedError,
  value: unknown,
  choices: readonly unknown[],
): Worded {
  const allowed = choices.map(String);
  const plain = isScalar(value) && value !== null;
  const found = plain ? asWritten(document, one) : foundKind(document, one, value);
  const nearest = plain ? nearestName(String(value), allowed) : undefined;
  return { code: 'value-choice', data: { found, allowed, nearest } };
}

function valueKind(
  document: Document,
  one: PlacedError,
  value: unknown,
  shape: ShapeRef | undefined,
): Worded {
  const types = asList(one.error.params['type']).map(String);
  const named = typeof shape === 'string' && Object.hasOwn(wanted, shape) ? wanted[shape] : undefined;
  const expected = named ?? types.map((type) => kinds[type] ?? type).join(' or ');
  const data = {
    found: foundKind(document, one, value),
    expected,
    hint: hintFor(document, one, value, types),
  };
  return { code: 'value-kind', data };
}

function hintFor(
  document: Document,
  one: PlacedError,
  value: unknown,
  types: readonly string[],
): string | undefined {
  if (value === null) return 'left empty';
  const written = asWritten(document, one);
  const text = types.includes('string');
  if (text && (typeof value === 'number' || typeof value === 'boolean')) return `quote it: '${written}'`;
  if (types.includes('array') && isScalar(value)) return `write a list: [${written}]`;
  const bare = typeof value === 'string' && /^[-+]?[0-9.]+$|^true$|^false$/.test(value);
  return bare && !text ? `take the quotes off: ${value}` : undefined;
}

function foundKind(document: Document, one: PlacedError, value: unknown): string {
  if (value === null) return 'nothing';
  if (Array.isArray(value)) return 'a list';
  if (!isScalar(value)) return 'a map';
  const kind = typeof value === 'number' ? 'the number' : typeof value === 'string' ? 'the text' : 'the word';
  return `${kind} ${asWritten(document, one)}`;
}

/** A scalar as it stands in the file: 010 is the number 10 there, and 010 is what the person wants back. */
function asWritten({ source }: Document, { span }: PlacedError): string {
  return short(source.text.slice(span.start, span.end).replace(/^(['"])(.*)\1$/s, '$2'));
}

function isScalar(value: unknown): boolean {
  return value === null || typeof value !== 'object';
}

function countOf(value: unknown): number {
  if (Array.isArray(value)) return value.length;
  return value === null || typeof value !== 'object' ? 0 : Object.keys(value).length;
}

function asList(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? value : [value];
}
