import { type Fault, stateKey, type VariableFault } from '../../circuit/circuit.js';
import { probeOf, type Reading, type TestStand } from '../../meter/meter.js';
import { type Interval, type Intervals, intersect, isPresent, unite } from '../../solve/solve.js';
import { explainedBy, type Group, isRuledOut } from '../suspects/evidence.js';
import { fittingSymptom, type PartsAre } from './fitting-symptom.js';
import { regimesAlone } from './kept-regimes.js';
import { looseBand, type Widths, widthOf } from './loose-band.js';
import { narrowed } from './narrowed.js';
import { curveOf, within } from './reading-curve.js';
import { type Look, type Regime, regimesOf } from './regimes.js';
import { faultOf } from './setting.js';

/** Values of one fault, other faults being there too, looked for in one observation after the other. */
export interface Hunt {
  readonly stand: TestStand;
  readonly variable: VariableFault;
  readonly others: readonly Fault[];
  readonly widths: Widths;
  /** Whether values with which contacts never settle are kept: such a state tells nothing of them. */
  readonly keepsUnsettled: boolean;
  /** By state, with power and without: worked out when first asked for; of a fault by itself they are kept elsewhere. */
  readonly regimes: Map<string, readonly Regime[]>;
}

export function huntFor(
  stand: TestStand,
  variable: VariableFault,
  others: readonly Fault[] = [],
  widths: Widths = new Map(),
  keepsUnsettled = false,
): Hunt {
  return { stand, variable, others, widths, keepsUnsettled, regimes: new Map() };
}

/** All values that are this fault. */
export function wholeRange({ range }: VariableFault): Intervals {
  return [{ low: range.least, high: range.most }];
}

/**
 * The values of a fault with which no reading and no symptom is contradicted: solved for in each reading's band and
 * intersected over readings and states. Ends are good to a part in a thousand, outwards.
 */
export function fittingValues(hunt: Hunt, groups: readonly Group[]): Intervals {
  let fitting = wholeRange(hunt.variable);
  for (const look of [fittingRoughly, fittingExactly]) {
    for (const group of groups) {
      fitting = look(hunt, group, fitting);
      if (fitting.length === 0) return [];
    }
  }
  return fitting;
}

/**
 * Those of some fitting values with which every symptom is as it would be with nominal parts; all of them where only
 * parts at the ends of their tolerances explain it.
 */
export function likeliest(hunt: Hunt, groups: readonly Group[], values: Intervals): Intervals {
  if (values.length === 0) return values;
  const symptoms = groups.map((group) => ({ ...group, readings: [] }));
  const kept = symptoms.reduce((fitting, group) => fittingRoughly(hunt, group, fitting, true), values);
  return kept.length > 0 ? kept : values;
}

/** Those of some values with which nothing of a group is contradicted, and a few more: bands are not worked out. */
export function fittingRoughly(
  hunt: Hunt,
  group: Group,
  values: Intervals,
  withNominalParts = false,
): Intervals {
  const { stand, variable, others } = hunt;
  // What is certain without solving leans on good conductors alone, and so holds at every value.
  if (isRuledOut(stand, group, [...others, faultOf(variable, variable.range.most)])) return [];
  if (isWithoutEffect(hunt, group)) return explainedBy(stand, [group], others) === undefined ? [] : values;
  return unite(
    regimesIn(hunt, group).flatMap((regime) => {
      let fitting = intersect(values, [regime.values]);
      if (regime.looks.length === 0) return hunt.keepsUnsettled ? fitting : [];
      const seen = (parts: PartsAre) => {
        for (const symptom of group.symptoms) {
          if (fitting.length === 0) return;
          fitting = inAny(regime, (look) => fittingSymptom(stand, symptom, look, fitting, parts));
        }
      };
      seen(withNominalParts ? 'nominal' : 'anywhere');
      for (const reading of group.readings)
        fitting = inAny(regime, (look) => roughlyIn(hunt, reading, look, fitting));
      if (!withNominalParts) seen('in tolerance');
      return fitting;
    }),
  );
}

/** Those of some values, found roughly already, with which every reading of a group is in its band. */
export function fittingExactly(hunt: Hunt, group: Group, values: Intervals): Intervals {
  if (isWithoutEffect(hunt, group)) return values;
  return unite(
    regimesIn(hunt, group).flatMap((regime) => {
      let fitting = intersect(values, [regime.values]);
      if (regime.looks.length === 0) return hunt.keepsUnsettled ? fitting : [];
      for (const reading of group.readings)
        fitting = inAny(regime, (look) => exactlyIn(hunt, reading, look, fitting));
      return fitting;
    }),
  );
}

function regimesIn({ stand, variable, others, regimes }: Hunt, { state, dead }: Group): readonly Regime[] {
  if (others.length === 0) return regimesAlone({ stand, state, dead, variable });
  const key = `${dead} ${stateKey(state)}`;
  const known = regimes.get(key) ?? regimesOf({ stand, state, dead, variable, others });
  regimes.set(key, known);
  return known;
}

/** Each observation may have been made of any of the networks that a regime may be. */
function inAny({ looks }: Regime, fitting: (look: Look) => Intervals): Intervals {
  return unite(looks.flatMap(fitting));
}

function roughlyIn({ stand, widths }: Hunt, reading: Reading, look: Look, values: Intervals): Intervals {
  if (values.length === 0) return values;
  const curve = curveOf(stand, reading, look);
  if (curve === 'contradicts') return [];
  if (curve === 'any') return values;
  return intersect(
    values,
    within(curve, looseBand(stand, reading, curve, values, widthOf(stand, reading, widths))),
  );
}

function exactlyIn(hunt: Hunt, reading: Reading, look: Look, values: Intervals): Intervals {
  const { stand } = hunt;
  const curve = values.length === 0 ? 'any' : curveOf(stand, reading, look);
  if (typeof curve === 'string') return curve === 'any' ? values : [];
  const expect = (value: number) => {
    const view = look.at(value);
    return view && stand.expectIn(view, probeOf(reading));
  };
  // What another look alone gives is none of this one's.
  const near = roughlyIn(hunt, reading, look, values);
  return unite(near.flatMap((each: Interval) => narrowed(each, curve, reading, expect)));
}

/** A bad connection where no current flows does nothing that a meter sees, whatever its ohms. */
function isWithoutEffect({ stand, variable, others }: Hunt, { state, dead }: Group): boolean {
  // Where something remembers, a contact may have carried current on the way there.
  if (dead || stand.plan('running').remembers) return false;
  const sight = stand.look(state, others);
  if (sight.kind !== 'steady') return false;
  const { view } = sight;
  return variable.changes(variable.range.least).every((change) => {
    if (change.kind !== 'worn') return false;
    return !isPresent(view, change.branch);
  });
}
