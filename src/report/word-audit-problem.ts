import type { StateChanges } from '../circuit/circuit.js';
import type { AuditProblemData } from '../diagnose/diagnose.js';
import { clean } from './clean.js';
import { count, showValue } from './number.js';
import { listed, named, namedAll, type Wordings, worded } from './phrases.js';
import { wordCause } from './word-expected.js';
import { wordChanges } from './word-state.js';

type Differs = AuditProblemData['expectation-differs'];
type Wiring = AuditProblemData['pin-map-contradicted']['wiring'];

/** What solving a circuit shows to be wrong with it. */
export const auditWordings: Wordings<AuditProblemData> = {
  'supply-shorted': ({ supply, in: state, path }) => ({
    headline: `${named(supply)} is short-circuited ${inState(state)}`,
    help: `Only conductors lie on this way from leg to leg: ${listed(namedAll(path), 'and')}. A load is missing from it, or a wire goes to the wrong place.`,
  }),
  'load-never-works': ({ load, states }) => ({
    headline: `${named(load)} does its job in none of ${count(states, 'state')}`,
    help: 'A wire is missing, a contact is closed in the wrong positions, or the load gets less voltage than it needs.',
  }),
  'contact-never-moves': ({ contact, always, states }) => ({
    headline: `the contact ${named(contact)} is ${always} in all of ${count(states, 'state')}`,
    help: 'Check the positions it is closed in, or its thresholds against the range of its condition.',
  }),
  'contacts-chatter': ({ in: state, actuators }) => ({
    headline: `${listed(namedAll(actuators), 'and')} would switch on and off without end ${inState(state)}`,
    help: 'What is switched takes away the voltage that switches it, so nothing can be said of readings in that state.',
  }),
  'protector-opens': ({ protector, in: state, amps, ratedAmps }) => ({
    headline: `${named(protector)}, rated ${showValue(ratedAmps, 'A')}, would carry ${showValue(amps, 'A')} ${inState(state)}`,
    help: 'It opens. Check the rating, and the resistance of what it feeds.',
  }),
  'pin-map-contradicted': ({ node, switch: name, position, wiring, instead }) => ({
    headline: `the pin map says ${named(node)} belongs to ${setting(name, [position])}; by the wiring ${wiringWords(wiring)}`,
    help: `${instead === undefined ? '' : `${setting(name, [position])} reaches ${named(instead)}. `}Check the wiring diagram: either the pin map or a wire is wrong.`,
  }),
  'expectation-differs': ({ index, expected, wanted }) => {
    const said = wanted === '' ? 'names no value' : `says ${clean(wanted)}`;
    return worded(
      `expectation ${index} ${said}; the circuit gives ${givenWords(expected)}`,
      givenHelp(expected),
    );
  },
  'expectation-works': ({ index, load, wanted, volts }) =>
    worded(
      `expectation ${index} says ${named(load)} ${wanted ? 'works' : 'does not work'}; by the circuit it ${wanted ? 'does not, or not surely' : 'does, or may'}`,
      volts === undefined ? undefined : `It gets ${showValue(volts, 'V')}.`,
    ),
  'testability-low': ({ of, percent, found, needed, faults }) => ({
    headline:
      of === 'detectable'
        ? `${found} of ${count(faults, 'fault')} show in some reading; ${percent} % are asked for, ${needed} of them`
        : `${found} of ${count(faults, 'fault')} can be told from those of every other part; ${percent} % are asked for, ${needed} of them`,
    help: 'The command loadside faults lists them, and names a place that would tell more apart if it could be reached.',
  }),
};

/** "at rest", or "with B1 = in, power off". */
function inState(state: StateChanges): string {
  return Object.keys(state).length === 0 ? wordChanges(state) : `with ${wordChanges(state)}`;
}

function setting(name: string, values: readonly string[]): string {
  return `${clean(name)} = ${listed(namedAll(values), 'or')}`;
}

function wiringWords(wiring: Wiring): string {
  if (wiring === undefined) return 'no state reaches it';
  const needs = Object.entries(wiring).map(([name, values]) => setting(name, values));
  return needs.length === 0 ? 'it is live in every state' : `it takes ${listed(needs, 'and')}`;
}

function givenWords(expected: Differs['expected']): string {
  switch (expected.kind) {
    case 'driven':
      return showValue(expected.nominal, expected.unit);
    case 'floating':
      return expected.unit === 'ohm'
        ? 'OL: nothing conducts between the leads'
        : 'no voltage: the place floats';
    case 'chattering':
      return 'no reading: contacts switch on and off without end in this state';
    case 'short':
      return 'no reading: the supply is short-circuited in this state';
    case 'overload':
      return `no reading: ${clean(expected.protector)} carries ${showValue(expected.amps, 'A')} in this state and opens`;
  }
}

function givenHelp(expected: Differs['expected']): string | undefined {
  if (expected.kind === 'driven') {
    const { low, high, unit } = expected;
    return `A meter may show ${showValue(low, unit)} to ${showValue(high, unit)}.`;
  }
  if (expected.kind !== 'floating' || expected.cause.length === 0) return undefined;
  return `${wordCause(expected.cause)}.`;
}
