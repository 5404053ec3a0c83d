import { describe, expect, test } from 'vitest';
import { readState } from '../../src/circuit/circuit.js';
import { instrument, usualInstrument } from '../../src/meter/meter.js';
import type { Ask } from '../../src/practice/ask.js';
import { Desk } from '../../src/practice/desk.js';
import { fullMarks, Grader, type Planted, Planter, Session } from '../../src/practice/practice.js';
import { proposed } from '../../src/practice/technician.js';
import { circuitAt, example, faultOf, warmerPath } from './open.js';

const seed = 4;

function planted(planter: Planter, fault: string): Planted {
  const planting = planter.plant(faultOf(planter.circuit, fault), seed);
  if (planting?.kind !== 'planted') throw new Error(`${fault} makes no exercise`);
  return planting;
}

function sessionOf({ circuit }: Planter, { fault, symptoms }: Planted): Session {
  return new Session({ circuit, symptoms, meter: usualInstrument }, fault, seed);
}

/** Takes what is proposed until that ends, and names all that is left. */
function perfectHunt(desk: Desk, session: Session, left: readonly string[]): void {
  while (desk.check(session.job).verdict === 'ambiguous') {
    const ask = proposed(desk, session.job);
    if (ask === undefined) break;
    session.measure(ask);
  }
  session.answer(left, undefined);
}

/** Of the hood's fan nothing within reach tells four parts apart: the answer names them all. */
const perfect = [
  ['wall-oven', 'BAKE:open'],
  ['range-hood', 'FAN:open'],
  ['washer', 'COLD:dead'],
  ['refrigerator', 'FAN:open'],
  ['dryer', 'TICK:dead'],
  ['range-control', 'LAMP:open'],
] as const;

test.each(perfect)('the perfect hunt in %s for %s gives full marks', (name, fault) => {
  const circuit = example(name);
  const desk = new Desk(circuit);
  const planter = new Planter(circuit, desk);
  const planting = planted(planter, fault);
  const session = sessionOf(planter, planting);
  perfectHunt(desk, session, planting.par.left);
  expect(session.job.readings.length).toBe(planting.par.readings);
  const grade = new Grader(circuit, desk).grade(session.exercise, planting.fault, planting.par, session.acts);
  expect(grade.marks).toEqual(fullMarks);
  expect([grade.total, grade.right]).toEqual([100, true]);
});

describe('the dish warmer, its cut-out open', () => {
  const planter = new Planter(circuitAt(warmerPath));
  const planting = planted(planter, 'TF:open');
  const grader = new Grader(planter.circuit);

  function ask(red: string, black: string, unit: 'V' | 'ohm' = 'V'): Ask {
    const { circuit } = planter;
    const at = (place: string) => circuit.nodeByName.get(place) ?? -1;
    const where = { kind: 'between', red: at(red), black: at(black) } as const;
    const { state } = readState(circuit, 'warming', circuit.document, []);
    return { state, probe: { where, unit, meter: instrument('high-impedance') } };
  }

  function graded(acts: (session: Session) => void) {
    const session = sessionOf(planter, planting);
    acts(session);
    return grader.grade(session.exercise, planting.fault, planting.par, session.acts);
  }

  test('what was read before, and what reads alike whatever is suspected, tells nothing', () => {
    const { steps, idle, marks } = graded((session) => {
      session.measure(ask('MAINS.PE', 'FRAME'));
      session.measure(ask('HEAT.1', 'HEAT.2'));
      session.measure(ask('HEAT.1', 'HEAT.2'));
      session.measure(ask('TF.1', 'TF.2'));
      session.measure(ask('TH.1', 'TH.2'));
      session.answer(['TF'], 'open');
    });
    expect(steps.map((step) => ('idle' in step ? step.idle : undefined))).toEqual([
      'alike',
      undefined,
      'repeat',
      undefined,
      'bounded',
      undefined,
    ]);
    expect(idle).toBe(3);
    expect(marks).toMatchObject({ answer: 35, proof: 15, telling: 4 });
    expect(marks.readings).toBeLessThan(fullMarks.readings);
  });

  test('parts exchanged while readings would tell more, or that were cleared, are too soon', () => {
    const { steps, premature, marks } = graded((session) => {
      session.swap('HEAT');
      session.measure(ask('HEAT.1', 'HEAT.2'));
      session.measure(ask('TF.1', 'TF.2'));
      session.swap('SW');
      session.swap('TF');
      session.answer(['TF'], undefined);
    });
    expect(steps.flatMap((step) => ('suspected' in step ? [step.premature] : []))).toEqual([
      'several',
      'cleared',
      undefined,
    ]);
    expect([premature, marks.swaps, marks.proof]).toEqual([2, 0, fullMarks.proof]);
  });

  test('unsafe requests cost, a guess proves little, and what is wrong counts for little', () => {
    const unsafe = graded((session) => {
      session.measure(ask('TF.1', 'TF.2', 'ohm'));
      session.measure(ask('SP1', 'MAINS.N'));
      session.measure(ask('HEAT.1', 'HEAT.2'));
      session.answer(['TF'], undefined);
    });
    expect([unsafe.unsafe, unsafe.readings, unsafe.marks.safety]).toEqual([2, 1, 0]);
    const guess = graded((session) => void session.answer(['TF'], undefined));
    expect(guess.right).toBe(true);
    expect(guess.marks.proof + guess.marks.readings + guess.marks.telling).toBeLessThan(6);
    expect(graded((session) => void session.answer(['HEAT'], undefined)).total).toBe(0);
  });

  test('naming more parts than readings leave, or another way to fail, is less', () => {
    const all = graded((session) => void session.answer(['TF', 'TH', 'HEAT', 'SW', 'BLUE'], undefined));
    expect([all.right, all.marks.answer]).toEqual([true, 7]);
    const mode = graded((session) => void session.answer(['TF'], 'high-resistance'));
    expect([mode.right, mode.wrongMode, mode.marks.answer]).toEqual([true, true, 30]);
  });

  test('without an answer nothing is right or wrong', () => {
    expect(graded((session) => void session.measure(ask('HEAT.1', 'HEAT.2')))).toMatchObject({
      right: undefined,
      marks: { answer: 0, proof: 0, readings: 0, telling: fullMarks.telling },
    });
  });
});
