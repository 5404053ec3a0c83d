import { writeFileSync, mkdirSync } from 'node:fs';
import { syntheticCircuit } from '../bench/synthetic-circuit.js';
mkdirSync('/tmp/me/syn', { recursive: true });
for (const n of [20, 60, 150, 300]) {
  writeFileSync(`/tmp/me/syn/n${n}.circuit.yaml`, syntheticCircuit(n));
  writeFileSync(`/tmp/me/syn/n${n}.readings.yaml`, `loadside: readings/1
circuit: n${n}.circuit.yaml
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
`);
}
