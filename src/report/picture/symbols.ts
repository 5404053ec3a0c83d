import type { Circuit } from '../../circuit/circuit.js';
import type { Element } from '../../draw/draw.js';

/** A symbol's outline around 0, 0. Its leads are lines of their own, up to `reach` from the middle. */
export interface Symbol {
  /** Half of its body. */
  readonly reach: number;
  /** Path data, stroked. */
  readonly lines: string;
  /** Path data, filled with the paper or the mark of a working load, and stroked. */
  readonly body?: string;
  readonly circles?: readonly { readonly x: number; readonly y: number; readonly r: number }[];
  /** Path data, dashed: a mechanical link. */
  readonly link?: string;
  readonly letters?: readonly {
    readonly text: string;
    readonly x: number;
    readonly y: number;
    readonly size: number;
  }[];
}

/** The Greek letter that marks what heat operates. */
const theta = '\u03B8';

/**
 * Symbols after IEC 60617: contact, fuse, coil, element, lamp, motor, capacitor, winding, plug and socket; a contact has
 * its two points as circles, as wiring diagrams of appliances draw them (common practice, no source).
 */
export function symbolOf(circuit: Circuit, element: Element, conducts: boolean): Symbol {
  const form = circuit.parts.get(element.part)?.form;
  switch (element.role) {
    case 'wire':
      return { reach: 0, lines: '' };
    case 'pin':
      // The socket's cup and the plug in it, or apart from it.
      return conducts
        ? { reach: 5, lines: 'M-5 0H-1M-4 -6A6 6 0 0 1 -4 6', body: 'M-1 -2.5H5V2.5H-1Z' }
        : { reach: 11, lines: 'M-11 0H-5M-10 -6A6 6 0 0 1 -10 6', body: 'M4 -2.5H11V2.5H4Z' };
    case 'contact':
      return contact(circuit, element, conducts);
    case 'protector':
      return protector(form, conducts);
    case 'coil':
      return { reach: 7, lines: '', body: 'M-7 -9H7V9H-7Z' };
    case 'winding':
      return { reach: 12, lines: `${turns(12)}M-12 5H12M-12 8H12` };
    case 'draw':
      return {
        reach: 12,
        lines: '',
        body: 'M-12 -8H12V8H-12Z',
        letters: [{ text: '~', x: 0, y: 4, size: 12 }],
      };
    case 'input':
      return { reach: 12, lines: 'M-4 -4L4 0L-4 4', body: 'M-12 -8H12V8H-12Z' };
    case 'passive':
      return passive(form);
    case 'load':
      return load(form);
    case 'source':
      return { reach: 9, lines: '', circles: [{ x: 0, y: 0, r: 9 }] };
  }
}

const points = [
  { x: -9, y: 0, r: 2.3 },
  { x: 9, y: 0, r: 2.3 },
];
const closedBlade = 'M-7 -1.6H10';
const openBlade = 'M-7 -1.6L9 -9.5';

function contact({ branches }: Circuit, { branch }: Element, conducts: boolean): Symbol {
  const gate = branches[branch ?? -1]?.gate;
  const lines = conducts ? closedBlade : openBlade;
  const link = conducts ? 'M0 -2V-9' : 'M0 -5V-10.5';
  const top = conducts ? -9 : -10.5;
  const plain = { reach: 11.3, circles: points };
  switch (gate?.kind) {
    case 'position':
      return { ...plain, lines: `${lines}M-4 ${top}H4`, link };
    case 'value':
      return { ...plain, lines, link, circles: [...points, { x: 0, y: top - 0.5, r: 1.6 }] };
    case 'threshold':
      return { ...plain, lines: `${lines}M-3.5 -11H3.5V-7H-3.5Z`, link: conducts ? 'M0 -2V-7' : 'M0 -5V-7' };
    default:
      return { ...plain, lines };
  }
}

function protector(form: string | undefined, conducts: boolean): Symbol {
  const blade = conducts ? closedBlade : openBlade;
  if (form === 'breaker')
    return {
      reach: 11.3,
      lines: `${blade}M6.5 -2.5L11.5 2.5M6.5 2.5L11.5 -2.5`,
      circles: points.slice(0, 1),
    };
  if (form === 'overload') return { reach: 11.3, lines: `${blade}M-7 -7H-3V-11H3V-7H7`, circles: points };
  const wire = conducts ? 'M-12 0H12' : 'M-12 0H-5M5 0H12';
  const letters = form === 'thermal-fuse' ? [{ text: theta, x: -9, y: -6, size: 9 }] : [];
  return { reach: 12, lines: wire, body: 'M-12 -4.5H12V4.5H-12Z', letters };
}

function passive(form: string | undefined): Symbol {
  if (form === 'capacitor') return { reach: 2.5, lines: 'M-2.5 -8V8M2.5 -8V8' };
  if (form === 'inductor') return { reach: 12, lines: turns(12) };
  const body = { reach: 12, body: 'M-12 -4.5H12V4.5H-12Z' };
  if (form === 'resistor') return { ...body, lines: '' };
  return { ...body, lines: 'M-13 8.5H-8L8 -8.5', letters: [{ text: theta, x: -9, y: -6, size: 9 }] };
}

function load(form: string | undefined): Symbol {
  switch (form) {
    case 'heating-element':
    case 'igniter':
      return { reach: 12, lines: 'M-6 -5V5M0 -5V5M6 -5V5', body: 'M-12 -5H12V5H-12Z' };
    case 'lamp':
      return { reach: 9, lines: 'M-6.4 -6.4L6.4 6.4M-6.4 6.4L6.4 -6.4', circles: [{ x: 0, y: 0, r: 9 }] };
    case 'motor':
      return {
        reach: 9.5,
        lines: '',
        circles: [{ x: 0, y: 0, r: 9.5 }],
        letters: [{ text: 'M', x: 0, y: 3.8, size: 11 }],
      };
    case 'solenoid':
      return { reach: 10, lines: 'M-10 7L10 -7', body: 'M-10 -7H10V7H-10Z' };
    default:
      return { reach: 12, lines: turns(12) };
  }
}

/** Four half turns of a winding between -half and half. */
function turns(half: number): string {
  const step = half / 2;
  return `M${-half} 0${`a${step / 2} ${step / 2} 0 0 1 ${step} 0`.repeat(4)}`;
}
