/** Small circuits for screens that no example shows: invented, no appliance. */

const head = (title: string) => `loadside: circuit/1
title: ${title}
supplies:
  S: { system: single-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line: S.L, neutral: S.N } }
`;

/** A motor that hums behind its overload when its start winding is open. */
export const hums: string = `${head('Motor with a start winding')}switches:
  CENT: { follows: M, between: [OL.2, W.1], closed-in: [idle] }
protectors:
  OL: { kind: overload, between: [S.L, OL.2], rating: 7 A }
loads:
  M: { kind: motor, between: [OL.2, S.N], rated: { voltage: 120 V, current: 4 A, power: 300 W }, locked: { current: 20 A }, start-winding: W }
  W: { kind: other, between: [W.1, S.N], resistance: 8 ohm }
`;

const relay = (name: string, contact: string) =>
  `  ${name}: { coil: { between: [${name}.A1, S.N], resistance: 2 kohm, picks-up-at: 85 V, drops-out-below: 40 V }, contacts: { ${contact} } }\n`;

/** Its own break contact feeds its coil. */
export const buzzer: string = `${head('Buzzer')}relays:
${relay('K', 'break: { between: [S.L, K.A1], normally: closed }')}`;

/** Each feeds the other over its break contact. */
export const racers: string = `${head('Two relays that lock each other out')}relays:
${relay('K1', 'break: { between: [S.L, K2.A1], normally: closed }')}${relay('K2', 'break: { between: [S.L, K1.A1], normally: closed }')}`;

/** A start button and a contact that holds. */
export const holder: string = `${head('Relay that holds itself in')}switches:
  START: { positions: [out, pressed], between: [S.L, K.A1], closed-in: [pressed] }
relays:
${relay('K', 'hold: { between: [S.L, K.A1], normally: open }')}`;
