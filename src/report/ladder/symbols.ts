import type { Circuit } from '../../circuit/circuit.js';
import type { Element } from '../../draw/draw.js';

/** A symbol's outline around 0, 0 with its leads at -17 and 17, in pieces that are stroked alike. */
export interface Symbol {
  /** Path data. */
  readonly lines: string;
  /** Filled with the paper, so that what is behind does not show. */
  readonly filled?: string;
  readonly circles?: readonly { readonly x: number; readonly y: number; readonly r: number }[];
  /** Dashed: a mechanical link, a control. */
  readonly dashed?: string;
  readonly letters?: readonly {
    readonly text: string;
    readonly x: number;
    readonly y: number;
    readonly size: number;
  }[];
}

const leads = (half: number) => `M-17 0H${-half}M${half} 0H17`;

/**
 * Symbols after IEC 60617 (contacts, fuse, coil, element, lamp, motor, capacitor, winding, plug and socket); contacts
 * have their two points as circles, as wiring diagrams of appliances draw them (common practice, no source).
 */
export function symbolOf(circuit: Circuit, element: Element, conducts: boolean): Symbol {
  const form = circuit.parts.get(element.part)?.form;
  switch (element.role) {
    case 'wire':
      return { lines: 'M-17 0H17' };
    case 'pin':
      return conducts
        ? { lines: 'M-17 0H-1M-6 -6A6 6 0 0 1 -6 6M5 0H17', filled: 'M-1 -3H5V3H-1Z' }
        : { lines: 'M-17 0H-6M-12 -6A6 6 0 0 1 -12 6M12 0H17', filled: 'M6 -3H12V3H6Z' };
    case 'contact':
      return contact(circuit, element, conducts);
    case 'protector':
      return protector(form, conducts);
    case 'coil':
      return { lines: leads(8), filled: 'M-8 -9H8V9H-8Z' };
    case 'winding':
      return { lines: `${turns(12)}M-17 0H-12M12 0H17M-12 6H12M-12 9H12` };
    case 'draw':
      return {
        lines: leads(13),
        filled: 'M-13 -8H13V8H-13Z',
        letters: [{ text: '~', x: 0, y: 4, size: 12 }],
      };
    case 'input':
      return { lines: `${leads(13)}M-4 -4L4 0L-4 4`, filled: 'M-13 -8H13V8H-13Z' };
    case 'passive':
      return passive(form);
    case 'load':
      return load(form);
    case 'source':
      return { lines: leads(9), circles: [{ x: 0, y: 0, r: 9 }] };
  }
}

function contact({ branches }: Circuit, { branch }: Element, conducts: boolean): Symbol {
  const gate = branches[branch ?? -1]?.gate;
  const points = [
    { x: -9, y: 0, r: 2.3 },
    { x: 9, y: 0, r: 2.3 },
  ];
  const blade = conducts ? 'M-7 -1.6H10' : 'M-7 -1.6L9 -9';
  const link = conducts ? 'M0 -2V-9' : 'M0 -5V-11';
  const top = conducts ? -9 : -11;
  const lines = `M-17 0H-11.3M11.3 0H17${blade}`;
  switch (gate?.kind) {
    case 'position':
      return { lines: `${lines}M-4 ${top}H4`, dashed: link, circles: points };
    case 'threshold':
      return { lines, circles: points, letters: [{ text: 'θ', x: -14, y: -4, size: 8 }] };
    case 'value':
      return { lines, dashed: link, circles: [...points, { x: 0, y: top, r: 1.8 }] };
    default:
      return { lines, circles: points };
  }
}

function protector(form: string | undefined, conducts: boolean): Symbol {
  if (form === 'breaker' || form === 'overload') {
    const blade = conducts ? 'M-7 -1.6H10' : 'M-7 -1.6L9 -9';
    const mark = form === 'breaker' ? 'M6.5 -2.5L11.5 2.5M6.5 2.5L11.5 -2.5' : 'M-3 -2V-6H3V-9';
    const points = [{ x: -9, y: 0, r: 2.3 }, ...(form === 'breaker' ? [] : [{ x: 9, y: 0, r: 2.3 }])];
    return { lines: `M-17 0H-11.3M11.3 0H17${blade}${mark}`, circles: points };
  }
  const wire = conducts ? 'M-17 0H17' : 'M-17 0H-6M6 0H17';
  const letters = form === 'thermal-fuse' ? [{ text: 'θ', x: -14, y: -5, size: 8 }] : [];
  return { lines: wire, filled: 'M-12 -5H12V5H-12Z', letters };
}

function passive(form: string | undefined): Symbol {
  if (form === 'capacitor') return { lines: 'M-17 0H-2.5M2.5 0H17M-2.5 -8V8M2.5 -8V8' };
  if (form === 'inductor') return { lines: `${turns(12)}M-17 0H-12M12 0H17` };
  const body = { filled: 'M-12 -4.5H12V4.5H-12Z' };
  if (form === 'resistor') return { lines: leads(12), ...body };
  return { lines: `${leads(12)}M-12 9H-7L8 -9`, ...body, letters: [{ text: 'θ', x: -14, y: -5, size: 8 }] };
}

function load(form: string | undefined): Symbol {
  switch (form) {
    case 'heating-element':
    case 'igniter':
      return { lines: `${leads(13)}M-6.5 -5V5M0 -5V5M6.5 -5V5`, filled: 'M-13 -5H13V5H-13Z' };
    case 'lamp':
      return { lines: `${leads(9)}M-6.4 -6.4L6.4 6.4M-6.4 6.4L6.4 -6.4`, circles: [{ x: 0, y: 0, r: 9 }] };
    case 'motor':
      return {
        lines: leads(9.5),
        circles: [{ x: 0, y: 0, r: 9.5 }],
        letters: [{ text: 'M', x: 0, y: 3.8, size: 11 }],
      };
    case 'solenoid':
      return { lines: `${leads(10)}M-10 7L10 -7`, filled: 'M-10 -7H10V7H-10Z' };
    default:
      return { lines: `${turns(12)}M-17 0H-12M12 0H17` };
  }
}

/** Four half turns of a winding between -half and half. */
function turns(half: number): string {
  const step = half / 2;
  return `M${-half} 0${`a${step / 2} ${step / 2} 0 0 1 ${step} 0`.repeat(4)}`;
}
