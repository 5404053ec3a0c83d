import type { Circuit } from '../../src/circuit/circuit.js';
import { circuitOf, mains } from '../circuit/open.js';

/** 120 V through a fuse to two branches: a lamp of 240 ohm, a heater of 24 ohm. */
export const lampAndHeater: Circuit = circuitOf(`${mains}protectors:
  F1: { kind: fuse, between: [F1.1, F1.2], rating: 10 A }
switches:
  S1: { positions: [off, on], between: [S1.1, S1.2], closed-in: [on] }
  S2: { positions: [off, on], between: [S2.1, S2.2], closed-in: [on] }
loads:
  A: { kind: lamp, between: [A.1, A.2], rated: { voltage: 120 V, power: 60 W }, job: lights }
  B: { kind: heating-element, between: [B.1, B.2], rated: { voltage: 120 V, power: 600 W }, job: glows }
wires:
  - { from: MAINS.L, to: F1.1, id: W0 }
  - { from: F1.2, to: S1.1, id: W1 }
  - { from: S1.1, to: S2.1, id: W2 }
  - { from: S1.2, to: A.1, id: W3 }
  - { from: S2.2, to: B.1, id: W4 }
  - { from: A.2, to: SP, id: W5 }
  - { from: B.2, to: SP, id: W6 }
  - { from: SP, to: MAINS.N, id: W7 }
states:
  a: { S1: on }
  b: { S2: on }
`);
