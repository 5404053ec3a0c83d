/** The draw floor: a circuit as a ladder, and the ladder on paper. Geometry alone: what is written comes from above. */
export type { Element } from './elements.js';
export { textWidth } from './font.js';
export { findLadder, type Ladder, type LadderSection } from './ladder.js';
export {
  type Layout,
  type Lettering,
  layOut,
  leftOf,
  type PlacedBox,
  type PlacedLine,
  type PlacedNode,
  type PlacedSymbol,
  type PlacedText,
  type TextRole,
  textSizes,
} from './layout.js';
export { drawCircuit, drawJob, type JobPicture, type Picture } from './picture.js';
export type { Laid } from './rows.js';
export type { Rung } from './rungs.js';
export { type LoadScene, lookAt, type Potential, referenceOf, type Scene } from './scene.js';
export type { Pole } from './sections.js';
