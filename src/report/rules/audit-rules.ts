import type { AuditProblemData } from '../../diagnose/diagnose.js';
import type { RuleDocs } from './rule-doc.js';

const relay = (coil: string, contact: string) =>
  `relays:\n  K1:\n    coil: { between: [${coil}], resistance: 5 kohm, picks-up-at: 160 V, drops-out-below: 60 V }\n    contacts: { break: { between: [${contact}], normally: closed } }`;

/** A circuit solved in every state. */
export const auditRules: RuleDocs<keyof AuditProblemData> = {
  'supply-shorted': {
    about: 'In no state are two legs of a supply joined by conductors alone.',
    bad: '  - { from: SW.2, to: CTL.1 }\n  - { from: SW.2, to: MAINS.N }',
    good: '  - { from: SW.2, to: CTL.1 }',
  },
  'load-never-works': {
    about: 'Every load does its job in some state.',
    bad: '  - { from: HEAT.2, to: TH.2, colour: blue }',
    good: '  - { from: HEAT.2, to: MAINS.N, colour: blue }',
  },
  'contact-never-moves': {
    about: 'Every contact is open in some state and closed in another.',
    bad: '  SW: { positions: [off, on], rest: off, between: [SW.1, SW.2], closed-in: [off, on] }',
    good: '  SW: { positions: [off, on], rest: off, between: [SW.1, SW.2], closed-in: [on] }',
  },
  'contacts-chatter': {
    about: 'In every state the contacts come to rest. A relay that takes its own coil away never does.',
    bad: relay('SW.2, MAINS.N', 'F1.2, SW.2'),
    good: relay('SW.2, MAINS.N', 'F1.2, CTL.L'),
  },
  'protector-opens': {
    about: 'No protector carries more than it is rated for while all is well.',
    bad: '  F1: { kind: fuse, between: [F1.1, F1.2], rating: 0.5 A }',
    good: '  F1: { kind: fuse, between: [F1.1, F1.2], rating: 5 A }',
  },
  'pin-map-contradicted': {
    about: 'What the drawing says of a pin is what the wiring says.',
    bad: 'pin-maps:\n  CTL.1: { switch: SW, position: off }',
    good: 'pin-maps:\n  CTL.1: { switch: SW, position: on }',
  },
  'expectation-differs': {
    about: 'The circuit gives what its expectations say is read.',
    bad: 'expectations:\n  - { in: drying, red: SW.2, black: MAINS.N, reads: 115 V }',
    good: 'expectations:\n  - { in: drying, red: SW.2, black: MAINS.N, reads: 230 V }',
  },
  'expectation-works': {
    about: 'The loads of the circuit work where its expectations say so, and only there.',
    bad: 'expectations:\n  - { in: {}, load: HEAT, works: yes }',
    good: 'expectations:\n  - { in: drying, load: HEAT, works: yes }',
  },
  'testability-low': {
    about:
      'As large a share of the faults shows in readings, or is told apart by them, as --min-detectable and --min-isolable ask for.',
    bad: 'nodes:\n  SW.2: { reachable: false }\n  TH.1: { reachable: false }\n  TH.2: { reachable: false }\n  HEAT.1: { reachable: false }',
    good: 'nodes:\n  HEAT.1: { reachable: false }',
  },
};
