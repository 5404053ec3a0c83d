/** The draw floor: a circuit as a ladder, and the ladder on paper. Geometry alone: what is written comes from above. */

export { symbolHalf } from './cells.js';
export { type ContactChart, contactCharts, type ModuleChart, moduleCharts } from './charts.js';
export { costOfCut, heightOfCut, piece, reachOfCuts } from './cut.js';
export type { Element } from './elements.js';
export { foldText, textWidth } from './font.js';
export type { Ladder, LadderSection } from './ladder.js';
export type { Laid } from './laid.js';
export { layOut } from './layout.js';
export { foldPoint, isBold, type Lettering, type TextRole, textSizes } from './lettering.js';
export { drawCircuit, drawJob, type JobPicture, type Picture } from './picture.js';
export {
  type Layout,
  leftOf,
  type PlacedBox,
  type PlacedLine,
  type PlacedNode,
  type PlacedPassage,
  type PlacedSymbol,
  type PlacedText,
} from './placed.js';
export type { Rung } from './rungs.js';
export { type LoadScene, type Potential, referenceOf, type Scene } from './scene.js';
export { isSwitched, type Pole } from './sections.js';
