import type { Circuit, Fault, Mode } from '../circuit/circuit.js';
import { type Difficulty, difficultyOf } from './exercise.js';
import { isSolvable, kindOfFault, type Planted, type Planter } from './plant.js';
import { plantedFaults } from './planted.js';
import { numbersFrom, seedOf } from './random.js';

/** Faults by what a technician would call them. */
export type FaultClass = 'open' | 'closed' | 'dead' | 'connection' | 'value' | 'leak' | 'wiring';

const classOfMode: Readonly<Record<Mode, FaultClass>> = {
  open: 'open',
  'stuck-open': 'open',
  missing: 'open',
  shorted: 'closed',
  'stuck-closed': 'closed',
  'always-on': 'closed',
  dead: 'dead',
  'high-resistance': 'connection',
  'low-resistance': 'value',
  'low-voltage': 'value',
  'leaks-to-earth': 'leak',
  crossed: 'wiring',
  'wrong-pin': 'wiring',
};

export const faultClasses: readonly FaultClass[] = [...new Set(Object.values(classOfMode))];

/** How often each class is drawn, of all of them (judgement, no source). */
const shareOf: Readonly<Record<FaultClass, number>> = {
  open: 4,
  connection: 2,
  dead: 2,
  closed: 1,
  value: 1,
  leak: 1,
  wiring: 1,
};

/** Too much resistance of a winding or an element is a wrong value, that of anything else a bad connection. */
function classOf(circuit: Circuit, { part, mode }: Fault): FaultClass {
  const kind = circuit.parts.get(part)?.kind;
  const isOfValue = mode === 'high-resistance' && (kind === 'load' || kind === 'passive');
  return isOfValue ? 'value' : classOfMode[mode];
}

export interface Wanted {
  /** Any where empty. */
  readonly classes: readonly FaultClass[];
  readonly difficulty?: Difficulty | undefined;
}

export type Drawn =
  | { readonly kind: 'drawn'; readonly planting: Planted }
  | { readonly kind: 'none'; readonly tried: number };

/** Faults tried for one exercise before it is given up. */
const mostTries = 80;

/**
 * The first fault of those the seed shuffles that makes an exercise as wanted, with one part left at the end, and of a
 * kind not yet `taken`. The classes take turns by chance, and in each the parts, or wires would be nearly all there is.
 */
export function drawExercise(
  planter: Planter,
  seed: number,
  wanted: Wanted,
  taken: ReadonlySet<string>,
): Drawn {
  const { circuit } = planter;
  let tried = 0;
  for (const values of shuffled(circuit, seed, wanted.classes)) {
    const [first] = values;
    if (first === undefined || taken.has(kindOfFault(first))) continue;
    if (tried === mostTries) break;
    tried += 1;
    const planting = firstPlanted(planter, values, seed, wanted.difficulty);
    if (planting !== undefined) return { kind: 'drawn', planting };
  }
  return { kind: 'none', tried };
}

/** At the first of a fault's values that somebody complains of, where it can be bounded and is as hard as wanted. */
function firstPlanted(
  planter: Planter,
  values: readonly Fault[],
  seed: number,
  difficulty: Difficulty | undefined,
): Planted | undefined {
  for (const fault of values) {
    const planting = planter.plant(fault, seed, ({ readings, suspected, left }) => {
      if (left === undefined)
        return difficulty !== 'easy' || difficultyOf({ readings: 0, suspected }) === 'easy';
      const hunted = { readings: readings ?? 0, minutes: 0, suspected, left };
      const fits = difficulty === undefined || difficultyOf(hunted) === difficulty;
      return fits && isSolvable({ fault, par: hunted });
    });
    if (planting === undefined) return undefined;
    if (planting.kind === 'planted') return planting;
  }
  return undefined;
}

/** Every fault once, each as the values it may be tried at. */
function* shuffled(circuit: Circuit, seed: number, classes: readonly FaultClass[]): Generator<Fault[]> {
  const random = numbersFrom(seedOf(`draw ${circuit.title}`, seed));
  const pick = (count: number) => Math.floor(random() * count);
  const byClass = new Map<FaultClass, Map<string, Fault[][]>>();
  for (const values of plantedFaults(circuit, (name) => numbersFrom(seedOf(name, seed)))) {
    const [fault] = values;
    if (fault === undefined) continue;
    const its = classOf(circuit, fault);
    if (classes.length > 0 && !classes.includes(its)) continue;
    const parts = byClass.get(its) ?? new Map<string, Fault[][]>();
    parts.set(fault.part, [...(parts.get(fault.part) ?? []), values]);
    byClass.set(its, parts);
  }
  while (byClass.size > 0) {
    const often = [...byClass].flatMap((each) => Array.from({ length: shareOf[each[0]] }, () => each));
    const [its, parts] = often[pick(often.length)] as [FaultClass, Map<string, Fault[][]>];
    const [part, faults] = [...parts][pick(parts.size)] as [string, Fault[][]];
    yield faults.splice(pick(faults.length), 1)[0] as Fault[];
    if (faults.length === 0) parts.delete(part);
    if (parts.size === 0) byClass.delete(its);
  }
}
