import type { Path, Raw } from '../../text/text.js';
import type { Gate } from '../branch.js';
import { defaultOhms, opensAtMultiple, plausible } from '../defaults.js';
import type { Draft } from '../draft.js';
import type { Fault } from '../fault.js';
import { conditionGate } from './contact-gate.js';
import { wornContact } from './part-faults.js';

/** Fuse, breaker, thermal fuse or overload: closed, unless the condition it follows has opened it. */
export function addProtector(draft: Draft, name: string, raw: Raw.Protector, path: Path): void {
  const [from, to] = draft.pair(name, raw.between, [...path, 'between']);
  const amps = draft.quantity(raw.rating, 'current', [...path, 'rating'], plausible.current);
  const ohms =
    draft.quantity(raw.resistance, 'resistance', [...path, 'resistance'], plausible.resistance) ??
    defaultOhms.protector;
  const gate = followedGate(draft, name, raw, path);
  const branch = draft.addBranch({
    name,
    part: name,
    role: 'protector',
    from,
    to,
    impedance: { ohms, reactanceOhms: 0, tolerance: 0 },
    ...(gate === undefined ? {} : { gate }),
  });
  const faults: Fault[] = [{ part: name, mode: 'open', changes: [{ kind: 'absent', branch }] }];
  if (gate !== undefined) {
    const changes = [{ kind: 'conducts', branch, ohms: defaultOhms.shorted }] as const;
    faults.push({ part: name, mode: 'stuck-closed', changes });
  }
  // A cut-out that follows a temperature and has no rating opens on heat alone.
  const opensOnHeat =
    raw.kind === 'thermal-fuse' || (raw.kind === 'overload' && gate !== undefined && amps === undefined);
  const opensOnCurrent = !opensOnHeat;
  const rating = amps === undefined ? {} : { rating: { amps, opensAt: amps * opensAtMultiple[raw.kind] } };
  const closesAgain = raw.kind === 'overload';
  draft.protectors.set(name, {
    name,
    branch,
    opensOnCurrent,
    closesAgain,
    ...(opensOnCurrent ? rating : {}),
  });
  draft.parts.set(name, {
    name,
    kind: 'protector',
    ...(raw.title === undefined ? {} : { title: raw.title }),
    noun: raw.title ?? raw.kind.replace('-', ' '),
    form: raw.kind,
    branches: [branch],
    faults,
    variableFaults: wornContact(name, undefined, branch, ohms),
    path,
  });
}

function followedGate(draft: Draft, name: string, raw: Raw.Protector, path: Path): Gate | undefined {
  if (raw.follows === undefined) {
    const key = (['opens-above', 'closes-below'] as const).find((each) => raw[each] !== undefined);
    if (key !== undefined)
      draft.report('key-needed', { part: name, keys: ['follows'] }, [...path, key], 'key');
    return undefined;
  }
  const condition = draft.conditions.get(raw.follows);
  if (condition === undefined) {
    draft.unknown('condition', raw.follows, draft.conditions.keys(), [...path, 'follows']);
    return undefined;
  }
  if (condition.values !== undefined) {
    const expected = 'a condition that is a number';
    draft.report('state-value', { key: 'follows', found: raw.follows, expected }, [...path, 'follows']);
    return undefined;
  }
  draft.switches.set(name, { name, follows: raw.follows, path });
  return conditionGate(draft, name, condition, raw, path);
}
