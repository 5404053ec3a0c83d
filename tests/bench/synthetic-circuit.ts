/**
 * Synthetic appliances for the benchmark, the same for a size each time: a split supply, chains of wires and contacts
 * to loads of 10 ohm to 2 kohm (every fourth a motor), shared neutrals and cross ties, as in the circuits that the
 * reference figures of the benchmark were taken with. Invented: no appliance.
 */
import { numbersFrom } from '../../src/practice/random.js';

/** The text of a circuit with about this many nodes, a switch in every chain. */
export function syntheticCircuit(nodes: number, seed = 1): string {
  const random = numbersFrom(seed);
  const wires: string[] = [];
  const switches: string[] = [];
  const loads: string[] = [];
  const chainNodes = 6;
  const chains = Math.max(1, Math.round((nodes - 3) / chainNodes));
  for (let chain = 0; chain < chains; chain += 1) {
    const leg = chain % 2 === 0 ? 'S.1' : 'S.2';
    const back = chain > 1 && random() < 0.3 ? `L${chain - 1}.B` : 'S.N';
    const feed = chain > 2 && random() < 0.3 ? `W${chain - 2}.2` : leg;
    wires.push(`  - { from: ${feed}, to: W${chain}.1, length: 0.5 m, gauge: 18 AWG }`);
    switches.push(
      `  W${chain}: { positions: [off, on], rest: on, between: [W${chain}.1, W${chain}.2], closed-in: [on] }`,
    );
    wires.push(`  - { from: W${chain}.2, to: SP${chain}, length: 0.3 m, gauge: 18 AWG }`);
    wires.push(`  - { from: SP${chain}, to: L${chain}.A, length: 0.3 m, gauge: 18 AWG }`);
    const ohms = (10 * 200 ** random()).toFixed(1);
    const impedance =
      chain % 4 === 3
        ? `kind: motor, impedance: { resistance: ${ohms} ohm, reactance: ${ohms} ohm }`
        : `kind: heating-element, resistance: ${ohms} ohm`;
    loads.push(`  L${chain}: { ${impedance}, between: [L${chain}.A, L${chain}.B] }`);
    wires.push(`  - { from: L${chain}.B, to: J${chain}, length: 0.4 m, gauge: 18 AWG }`);
    wires.push(`  - { from: J${chain}, to: ${back}, length: 0.4 m, gauge: 18 AWG }`);
  }
  return `loadside: circuit/1
title: Synthetic appliance of ${nodes} nodes
supplies:
  S: { system: split-phase, voltage: 120 V, frequency: 60 Hz, terminals: { line1: S.1, line2: S.2, neutral: S.N } }
switches:
${switches.join('\n')}
loads:
${loads.join('\n')}
wires:
${wires.join('\n')}
`;
}

/** Six readings of it and two symptoms: the wire behind the first switch is open. */
export function openWire(circuit: string): string {
  return `loadside: readings/1
circuit: ${circuit}
meter: { input: high-impedance }
symptoms:
  - { in: {}, load: L0, works: no }
  - { in: {}, load: L1, works: yes }
readings:
  - { in: {}, red: S.1, black: S.N, reads: 120.4 V }
  - { in: {}, red: W0.1, black: S.N, reads: 120.3 V }
  - { in: {}, red: W0.2, black: S.N, reads: 120.2 V }
  - { in: {}, red: SP0, black: S.N, reads: 0.3 V }
  - { in: {}, red: L0.A, black: S.N, reads: 0.2 V }
  - { in: {}, red: L0.B, black: S.N, reads: 0.1 V }
`;
}
