import type { Path } from '../../text/text.js';
import type { Gate, Thresholds } from '../branch.js';
import type { Draft } from '../draft.js';
import type { Condition } from '../model.js';
import { conditionNumber } from './condition.js';

/** The keys by which a contact says when it is closed; switches, their contacts and protectors share them. */
export interface ContactKeys {
  readonly 'closed-in'?: readonly (string | number)[];
  readonly 'opens-above'?: string | number;
  readonly 'closes-below'?: string | number;
  readonly 'closes-above'?: string | number;
  readonly 'opens-below'?: string | number;
}

const thresholdKeys = ['opens-above', 'closes-below', 'closes-above', 'opens-below'] as const;

/** A switch's own positions: the contact is closed in the listed ones. */
export function positionGate(
  draft: Draft,
  name: string,
  positions: readonly string[],
  keys: ContactKeys,
  path: Path,
): Gate | undefined {
  for (const key of thresholdKeys) {
    if (keys[key] !== undefined)
      draft.report('key-conflict', { part: name, keys: ['positions', key] }, [...path, key], 'key');
  }
  const listed = keys['closed-in'];
  if (listed === undefined) {
    draft.report('key-needed', { part: name, keys: ['closed-in'] }, path, 'key');
    return undefined;
  }
  return {
    kind: 'position',
    switch: name,
    closedIn: listedIn(draft, 'position', name, positions, listed, path),
  };
}

/** A contact moved by a condition: by one of its values, or by its number passing a threshold. */
export function conditionGate(
  draft: Draft,
  name: string,
  condition: Condition,
  keys: ContactKeys,
  path: Path,
): Gate | undefined {
  if (condition.values !== undefined) {
    for (const key of thresholdKeys) {
      if (keys[key] !== undefined)
        draft.report(
          'key-conflict',
          { part: name, keys: [`follows: ${condition.name}`, key] },
          [...path, key],
          'key',
        );
    }
    const listed = keys['closed-in'];
    if (listed === undefined) {
      draft.report('key-needed', { part: name, keys: ['closed-in'] }, path, 'key');
      return undefined;
    }
    const closedIn = listedIn(draft, 'value', condition.name, condition.values, listed, path);
    return { kind: 'value', switch: name, condition: condition.name, closedIn };
  }
  if (keys['closed-in'] !== undefined) {
    draft.report(
      'key-conflict',
      { part: name, keys: ['closed-in', 'follows'] },
      [...path, 'closed-in'],
      'key',
    );
  }
  const limits = thresholds(draft, name, condition, keys, path);
  return limits === undefined
    ? undefined
    : { kind: 'threshold', switch: name, condition: condition.name, limits };
}

/** A contact moved by a load: closed while it works, or while it is idle. */
export function loadGate(
  draft: Draft,
  name: string,
  load: string,
  actuator: number,
  keys: ContactKeys,
  path: Path,
): Gate | undefined {
  const foreign = thresholdKeys.filter((key) => keys[key] !== undefined);
  for (const key of foreign)
    draft.report('key-conflict', { part: name, keys: [`follows: ${load}`, key] }, [...path, key], 'key');
  const listed = keys['closed-in'];
  if (listed === undefined) {
    if (foreign.length === 0) draft.report('key-needed', { part: name, keys: ['closed-in'] }, path, 'key');
    return undefined;
  }
  const closedIn = listedIn(draft, 'value', load, ['working', 'idle'], listed, path);
  return { kind: 'actuator', actuator, closedWhen: closedIn.has('working') };
}

const rangeForm = /^(\d{1,4})-(\d{1,4})$/;

/** A timer has no more. */
const mostPositions = 200;

/** `1-12` as the twelve positions it stands for; anything else, a range of too many among it, as it is. */
export function expandPositions(listed: readonly (string | number)[]): string[] {
  return listed.flatMap((each) => {
    const match = rangeForm.exec(String(each));
    const [first, last] = [Number(match?.[1]), Number(match?.[2])];
    if (match === null || first >= last || last - first >= mostPositions) return String(each);
    return Array.from({ length: last - first + 1 }, (_, index) => String(first + index));
  });
}

function listedIn(
  draft: Draft,
  what: 'position' | 'value',
  of: string,
  allowed: readonly string[],
  listed: readonly (string | number)[],
  path: Path,
): Set<string> {
  const closedIn = new Set<string>();
  for (const [index, each] of listed.entries()) {
    const positions = allowed.includes(String(each)) ? [String(each)] : expandPositions([each]);
    const stranger = positions.find((position) => !allowed.includes(position));
    if (stranger !== undefined) draft.unknown(what, stranger, allowed, [...path, 'closed-in', index], of);
    for (const position of positions) closedIn.add(position);
  }
  return closedIn;
}

function thresholds(
  draft: Draft,
  name: string,
  condition: Condition,
  keys: ContactKeys,
  path: Path,
): Thresholds | undefined {
  const read = (key: (typeof thresholdKeys)[number]) =>
    conditionNumber(draft, keys[key], condition.unit, [...path, key]);
  const opensAbove = read('opens-above');
  const closesBelow = read('closes-below');
  const closesAbove = read('closes-above');
  const opensBelow = read('opens-below');
  const falling = keys['opens-above'] !== undefined;
  const rising = keys['closes-above'] !== undefined;
  if (falling === rising) {
    if (falling) {
      draft.report(
        'key-conflict',
        { part: name, keys: ['opens-above', 'closes-above'] },
        [...path, 'closes-above'],
        'key',
      );
    } else {
      draft.report('key-needed', { part: name, keys: ['opens-above', 'closes-above'] }, path, 'key');
    }
    return undefined;
  }
  const foreign = falling ? 'opens-below' : 'closes-below';
  if (keys[foreign] !== undefined) {
    const partner = falling ? 'opens-above' : 'closes-above';
    draft.report('key-conflict', { part: name, keys: [partner, foreign] }, [...path, foreign], 'key');
  }
  const [upper, lower] = falling ? [opensAbove, closesBelow] : [closesAbove, opensBelow];
  const [upperKey, lowerKey] = falling
    ? (['opens-above', 'closes-below'] as const)
    : (['closes-above', 'opens-below'] as const);
  if (upper !== undefined && lower !== undefined && lower > upper) {
    draft.report('threshold-order', { part: name, upper: upperKey, lower: lowerKey }, [...path, lowerKey]);
  }
  if (upper === undefined) return undefined;
  return falling
    ? { opensAbove: upper, closesBelow: lower ?? upper }
    : { closesAbove: upper, opensBelow: lower ?? upper };
}
