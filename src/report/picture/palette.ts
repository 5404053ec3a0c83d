import type { Potential } from '../../draw/draw.js';

/** How a conductor is drawn: told apart by width and dashes as well as colour. */
export interface Stroke {
  readonly colour: string;
  readonly width: number;
  readonly dash?: string;
}

export interface Palette {
  readonly paper: string;
  readonly ink: string;
  readonly faint: string;
  /** Behind a load that works. */
  readonly working: string;
  /** Behind what bounds the fault, and its hatching. */
  readonly bracket: string;
  readonly hatch: string;
  /** Of a heat map, from little to much. */
  readonly shades: readonly string[];
  readonly stroke: Readonly<Record<Potential, Stroke>>;
}

/** For paper, and for a dark screen. */
export type Theme = 'light' | 'dark';

export const palettes: Readonly<Record<Theme, Palette>> = {
  light: {
    paper: '#ffffff',
    ink: '#111111',
    faint: '#555555',
    working: '#ffe08a',
    bracket: '#f3e3ef',
    hatch: '#8a5a80',
    shades: ['#f2e6c9', '#e9c98a', '#dfa35a', '#b5622e', '#7a2e1d'],
    stroke: {
      plain: { colour: '#111111', width: 1.3 },
      live: { colour: '#a80f1c', width: 2.6 },
      neutral: { colour: '#14438f', width: 1.3 },
      earth: { colour: '#1d6b2c', width: 1.3, dash: '9 3 2 3' },
      floating: { colour: '#555555', width: 1.3, dash: '4 3' },
    },
  },
  dark: {
    paper: '#15181c',
    ink: '#eceff2',
    faint: '#aab2ba',
    working: '#6b5200',
    bracket: '#3a2436',
    hatch: '#b98fb0',
    shades: ['#3a2f1c', '#5c4420', '#8a6128', '#c98d4a', '#f0c88e'],
    stroke: {
      plain: { colour: '#eceff2', width: 1.3 },
      live: { colour: '#ff7b7b', width: 2.6 },
      neutral: { colour: '#7fb2ff', width: 1.3 },
      earth: { colour: '#7ed491', width: 1.3, dash: '9 3 2 3' },
      floating: { colour: '#aab2ba', width: 1.3, dash: '4 3' },
    },
  },
};
