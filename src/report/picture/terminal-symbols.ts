import type { Circuit } from '../../circuit/circuit.js';
import type { Element, Potential } from '../../draw/draw.js';

/** How a ladder is drawn with characters. */
export interface Pen {
  readonly line: Readonly<Record<Potential, string>>;
  readonly joint: string;
  readonly place: string;
  /** Where a rung goes on in the next line. */
  readonly onward: string;
  readonly bar: string;
}

export const unicodePen: Pen = {
  line: { plain: '\u2500', live: '\u2501', neutral: '\u2500', earth: '\u254C', floating: '\u2504' },
  joint: '\u25CF',
  place: '\u25CB',
  onward: '\u22EF',
  bar: '\u2588',
};

export const asciiPen: Pen = {
  line: { plain: '-', live: '=', neutral: '-', earth: '~', floating: '.' },
  joint: '*',
  place: 'o',
  onward: '>',
  bar: '#',
};

/** A part in a line of text, between its leads; ASCII throughout. */
export function terminalSymbol({ parts }: Circuit, { part, role }: Element, conducts: boolean): string {
  const form = parts.get(part)?.form ?? '';
  switch (role) {
    case 'wire':
      return conducts ? '' : ' x ';
    case 'pin':
      return conducts ? '>>' : '>  >';
    case 'contact':
      return conducts ? closed : open;
    case 'protector':
      if (form === 'overload' || form === 'breaker') return conducts ? closed : open;
      return conducts ? '[==]' : '[  ]';
    case 'coil':
      return '(  )';
    case 'winding':
      return turns;
    case 'draw':
      return '[~~]';
    case 'input':
      return '[ >]';
    case 'passive':
    case 'load':
      return symbols[form] ?? turns;
    case 'source':
      return '(~)';
  }
}

const closed = '[__]';
const open = '[ /]';
const turns = '((((';

const symbols: Readonly<Record<string, string>> = {
  'heating-element': '[||]',
  igniter: '[||]',
  lamp: '(X)',
  motor: '(M)',
  solenoid: '[/]',
  resistor: '[  ]',
  thermistor: '[/t]',
  rtd: '[/t]',
  capacitor: '| |',
};
