import type { Supply } from '../../circuit/circuit.js';
import { type LadderSection, type Picture, referenceOf } from '../../draw/draw.js';
import { clean } from '../clean.js';
import { wordMode, wordPart } from '../word-fault.js';
import { wordState } from '../word-state.js';

/** In which state the circuit is drawn, and what holds there. */
export function headlines({ ladder, scene, job }: Picture): readonly string[] {
  const { state, outcome, faults } = scene;
  const planted = faults.map(
    (fault) => `${wordPart(ladder.circuit, fault.part)} ${wordMode(ladder.circuit, fault)}`,
  );
  const sound = job === undefined ? '' : 'Drawn as the sound circuit should be there. ';
  const lines = {
    'not-asked': ['Wiring. Contacts stand as they rest without power; nothing is computed.'],
    steady: [
      `State: ${wordState(state)}. ${sound}Volts and amps are nominal; supply and parts have tolerances.`,
    ],
    'no-power': [`State: ${wordState(state)}. Nothing is fed; capacitors may still hold charge.`],
    chattering: [`State: ${wordState(state)}. In it contacts never settle, so no volts are shown.`],
    short: [`State: ${wordState(state)}. In it the supply is shorted, so no volts are shown.`],
    overload: [`State: ${wordState(state)}. In it a protector opens, so no volts are shown.`],
  }[outcome];
  return planted.length === 0 ? lines : [...lines, `Planted: ${planted.join('; ')}.`];
}

/** What feeds a section, and where the black lead is for its volts. */
export function captionOf({ ladder, scene }: Picture, section: LadderSection): string {
  const { circuit } = ladder;
  const [pole] = section.poles;
  if (pole === undefined) return 'Joined to no supply';
  if (section.poles.every(({ leg }) => leg === 'earth')) return 'Protective earth';
  const supply = circuit.supplies.get(pole.source);
  const title = circuit.parts.get(pole.source)?.title;
  const name = title === undefined ? clean(pole.source) : `${clean(pole.source)} ${clean(title)}`;
  const what =
    supply === undefined ? `${name}, ${clean(pole.leg)}` : `${name}, ${supply.system}, ${wordSupply(supply)}`;
  const black = referenceOf(section);
  if (scene.outcome !== 'steady' || black === undefined) return what;
  return `${what}; volts against ${clean(circuit.nodes[black]?.name ?? '')}`;
}

/** `120 V from each line to neutral, 60 Hz`. */
function wordSupply({ system, volts, stated, hertz }: Supply): string {
  const many = system === 'split-phase' || system === 'three-phase';
  const between = !many ? '' : volts === stated ? ' from each line to neutral' : ' from line to line';
  return `${stated} V${between}${hertz === 0 ? '' : `, ${hertz} Hz`}`;
}
