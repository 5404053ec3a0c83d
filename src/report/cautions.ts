/**
 * The usual cautions, ours to word, by what an answer is about. They defer to local codes and licensed practice.
 */
export const cautions: readonly string[] = [
  'DANGER: mains voltage kills. Live readings are for people trained and authorised to take them; otherwise stop and call a licensed professional.',
  'A predicted 0 V never proves a conductor dead. Isolate, lock out or keep the plug in hand, and prove dead: meter on a known live source, then the circuit, then the known source again.',
  'This is computed from a drawing as written here; the appliance in front of you may differ.',
  "Other energy stays: charged capacitors, hot surfaces, moving parts, water, gas. Discharge and block it by the maker's procedure.",
  'Use a meter and leads rated for the place and voltage. Never bypass a fuse, cut-out, interlock or the protective earth.',
  'Signs of an open neutral, a missing earth or burnt wiring in the building: make safe and hand over to a licensed electrician.',
  "Local codes, the maker's service literature and licensed practice override anything said here.",
];

/** For a reading that is proposed with power on. */
const liveCaution =
  'DANGER: this reading is on live parts. Only for people trained and allowed to take it; if that is not you, stop and call a licensed professional.';

/** For a reading that is proposed with the power off. */
const deadCaution = 'Isolate, prove dead and discharge capacitors first; only then set the meter to ohms.';

/** The one that a proposed reading calls for. */
export function cautionFor({ live }: { readonly live: boolean }): string {
  return live ? liveCaution : deadCaution;
}

/** One line for the foot of a screen. */
export const shortCaution =
  'Caution: computed, not measured. A predicted 0 V is no proof of a dead wire: isolate and prove dead before you touch. Live work only if trained and allowed to; local codes override this.';
