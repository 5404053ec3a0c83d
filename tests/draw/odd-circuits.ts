/** Circuits whose shape no example has: invented, no appliance. */

const single = `loadside: circuit/1
supplies:
  S: { system: single-phase, voltage: 230 V, frequency: 50 Hz, terminals: { line: S.L, neutral: S.N, earth: S.PE } }
`;

const lamp = (name: string, a: string, b: string) =>
  `  ${name}: { kind: lamp, between: [${a}, ${b}], rated: { voltage: 230 V, power: 40 W } }\n`;

export const oddCircuits: Readonly<Record<string, string>> = {
  'three phases, loads between all legs and to neutral': `loadside: circuit/1
title: Three phases
supplies:
  S: { system: three-phase, voltage: 230 V, frequency: 50 Hz, terminals: { line1: S.L1, line2: S.L2, line3: S.L3, neutral: S.N } }
loads:
  A: { kind: heating-element, between: [S.L1, S.L2], rated: { voltage: 400 V, power: 2 kW } }
  B: { kind: heating-element, between: [S.L2, S.L3], rated: { voltage: 400 V, power: 2 kW } }
  C: { kind: heating-element, between: [S.L3, S.L1], rated: { voltage: 400 V, power: 2 kW } }
${lamp('D', 'S.L1', 'S.N')}${lamp('E', 'S.L2', 'S.N')}${lamp('F', 'S.L3', 'S.N')}`,
  'a bridge of five': `${single}title: Bridge
passives:
  R1: { kind: resistor, between: [S.L, P], resistance: 100 ohm }
  R2: { kind: resistor, between: [S.L, Q], resistance: 100 ohm }
  R3: { kind: resistor, between: [P, S.N], resistance: 100 ohm }
  R4: { kind: resistor, between: [Q, S.N], resistance: 200 ohm }
  R5: { kind: resistor, between: [P, Q], resistance: 50 ohm }
`,
  'a load with both ends on one net, and a spare contact': `${single}title: Same net
switches:
  SP: { positions: [out, in], between: [SP.1, SP.2], closed-in: [in] }
  K: { positions: [off, on], between: [S.L, A], closed-in: [on] }
loads:
${lamp('X', 'A', 'B')}${lamp('Y', 'A', 'S.N')}wires:
  - { from: A, to: B, colour: black }
  - { from: S.PE, to: SP.1, colour: green/yellow }
`,
  'two-way switching': `${single}title: Two-way switching
switches:
  S1: { positions: [up, down], contacts: { up: { between: [S.L, S1.1], closed-in: [up] }, down: { between: [S.L, S1.2], closed-in: [down] } } }
  S2: { positions: [up, down], contacts: { up: { between: [S2.1, S2.C], closed-in: [up] }, down: { between: [S2.2, S2.C], closed-in: [down] } } }
loads:
${lamp('LAMP', 'S2.C', 'S.N')}wires:
  - { from: S1.1, to: S2.1, colour: brown }
  - { from: S1.2, to: S2.2, colour: grey }
`,
  'long names, many lamps on one wire looped from each to the next': `${single}title: ${'A very long title of a circuit that goes on and on '.repeat(3)}
loads:
${Array.from({ length: 12 }, (_, at) => `  A-LAMP-WITH-A-LONG-NAME-${at}: { title: the lamp that stands ${'far '.repeat(8)}away, kind: lamp, between: [N${at}-1, N${at}-2], rated: { voltage: 230 V, power: 40 W } }\n`).join('')}wires:
  - { from: S.L, to: N0-1, colour: brown }
  - { from: S.N, to: N0-2, colour: blue }
${Array.from({ length: 11 }, (_, at) => `  - { from: N${at}-1, to: N${at + 1}-1, colour: brown/white }\n  - { from: N${at}-2, to: N${at + 1}-2, colour: light blue }\n`).join('')}`,
};
