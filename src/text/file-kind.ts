import type { Document } from './document.js';
import type { TextProblem } from './problems.js';
import type { Source } from './source.js';

/** Files with a shape of their own. */
export type FileKind = 'circuit' | 'readings' | 'exercise' | 'record' | 'job';

/** What a file of each kind may say it is; a job says nothing. */
const formats: Readonly<Record<FileKind, readonly string[]>> = {
  circuit: ['circuit/1', 'assembly/1'],
  readings: ['readings/1'],
  exercise: ['exercise/1'],
  record: ['record/1'],
  job: [],
};

/** What loadside reads or writes. */
const known = /^(?:circuit|assembly|readings|exercise|record|report)\//;

/** What a file says it is, in YAML or in JSON; a text inside of it is indented or has its quotes escaped. */
const kindLine = /^(?:loadside[ \t]*:[ \t]*['"]?|\{?\s*"loadside"\s*:\s*")([a-z]+\/\d+)/m;

/** A document that says it is a file of another kind: nothing else in it is wrong. */
export function otherKind(document: Document, root: FileKind): TextProblem | undefined {
  const { data } = document;
  const found: unknown = typeof data === 'object' && data !== null ? Reflect.get(data, 'loadside') : '';
  if (typeof found !== 'string' || !isOther(found, root)) return undefined;
  return kindProblem(document.locate(['loadside'], 'value'), found, root);
}

/** The same of a text that can't be read as a file of this kind: another kind has other limits. */
export function otherKindOfText(source: Source, root: FileKind): TextProblem | undefined {
  const line = kindLine.exec(source.text);
  const found = line?.[1] ?? '';
  if (line === null || !isOther(found, root)) return undefined;
  const end = line.index + line[0].length;
  return kindProblem({ source, span: { start: end - found.length, end } }, found, root);
}

/** A document that says nothing of its kind, and does not look as if it were of this one. */
export function noKind(document: Document, root: FileKind): TextProblem {
  return kindProblem(document.locate([], 'key'), undefined, root);
}

function isOther(found: string, root: FileKind): boolean {
  return known.test(found) && formats[root].length > 0 && !formats[root].some((own) => sameKind(own, found));
}

/** Of another version it is the same kind. */
function sameKind(one: string, other: string): boolean {
  return one.split('/')[0] === other.split('/')[0];
}

function kindProblem(at: TextProblem['at'], found: string | undefined, root: FileKind): TextProblem {
  return { code: 'file-kind', data: { found, expected: formats[root][0] ?? root }, at };
}
