import type { Fault } from '../../circuit/circuit.js';
import { openedBy } from '../suspects/opened.js';
import { faultOf, type Setting } from './setting.js';

/** Which actuators are on; where an overload opens and closes again, which are while it is open. */
export interface Standing {
  readonly on: readonly boolean[];
  readonly opened?: Fault;
  readonly onWhenOpen?: readonly boolean[];
}

/** How all that the network moves stands with a value: contacts may never settle, or something blow for good. */
export type Stands = Standing | 'chattering' | 'gone';

export function standsAt(setting: Setting, value: number): Stands {
  const { stand, state, dead, variable, others } = setting;
  const { circuit } = stand;
  const fault = faultOf(variable, value);
  const walked = walkedTo(setting, fault);
  if (walked !== undefined) return walked;
  const sight = stand.look(state, [...others, fault], dead);
  if (sight.kind === 'chattering') return 'chattering';
  if (sight.kind === 'steady') return { on: sight.view.on };
  if (sight.kind !== 'overload' || circuit.protectors.get(sight.protector)?.closesAgain !== true)
    return 'gone';
  const opened = openedBy(circuit, sight);
  const then = stand.look(state, [...others, opened, fault], dead);
  return { on: sight.view.on, opened, ...(then.kind === 'steady' ? { onWhenOpen: then.view.on } : {}) };
}

export function isSame(a: Standing, b: Stands): boolean {
  const alike = (one: readonly boolean[] | undefined, other: readonly boolean[] | undefined) =>
    one?.length === other?.length && one?.every((on, index) => on === other?.[index]) !== false;
  return (
    typeof b === 'object' &&
    a.opened?.part === b.opened?.part &&
    alike(a.on, b.on) &&
    alike(a.onWhenOpen, b.onWhenOpen)
  );
}

/** The same in reading space, where nothing is solved for one value; undefined where it can't be told from there. */
function walkedTo({ stand, state, dead, others }: Setting, fault: Fault): Stands | undefined {
  const [other, more] = others;
  if (more !== undefined) return undefined;
  const walk = stand.walk(state, dead);
  walk.hold(other);
  let found: 'steady' | 'chattering' | undefined;
  let on = 0;
  for (const start of walk.starts) {
    const walked = walk.walk(fault, start);
    if (walked !== 'steady' && walked !== 'chattering') return undefined;
    if (found !== undefined && (found !== walked || (walked === 'steady' && on !== walk.on)))
      return undefined;
    found = walked;
    on = walk.on;
  }
  if (found !== 'steady') return found;
  return { on: stand.circuit.actuators.map(({ index }) => (on & (1 << index)) !== 0) };
}
