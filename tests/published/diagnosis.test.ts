/**
 * Published diagnosis cases: circuit, readings and symptoms in files of ours, and every listed fault held against
 * the suspects. Sources stand in diagnosis.yaml, one beside each case, and in the titles below.
 */
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { type Circuit, designateFault, faultName } from '../../src/circuit/circuit.js';
import { type CheckAnswer, checkJob } from '../../src/diagnose/diagnose.js';
import { type DiagnosisCase, diagnosisTexts, faultText, type Observation } from './diagnosis-case.js';
import { openCircuit, openJob, published, titleOf } from './front-doors.js';

const cases = published<DiagnosisCase>(
  readFileSync(new URL('diagnosis.yaml', import.meta.url), 'utf8'),
  'cases',
);

/**
 * No fault of ours, so never a suspect: a shorted fuse is a fuse that conducts, as it should, and a neutral bridged to
 * metal that a wire joins to the neutral already is bridged to itself.
 */
const nobodysFaults = ['D30 short:FU', 'D33 bridge:n~case', 'D46 short:FU'];

/** Suspects of the published modes that a case does not list as possible, though it knows of them. */
const alsoSuspected: Readonly<Record<string, readonly string[]>> = {
  // Its cascade: a shorted load blows the fuse.
  D30: ['LOAD:shorted'],
  // Not scored: a shorted coil blows the fuse. A missing neutral is a dead source as much as a missing line.
  D45: ['M:shorted', 'V.neutral:missing'],
};

/** Open and short, of any part. */
const publishedModes: readonly string[] = ['open', 'shorted', 'stuck-open', 'stuck-closed', 'missing'];

it('has every published case', () => {
  expect(cases).toHaveLength(37);
});

it('checks every listed fault but those no part of ours can have', () => {
  const without = cases.flatMap((each) => {
    const texts = diagnosisTexts(each);
    const circuit = openCircuit(texts.circuit);
    const has = (text: string | undefined) => text !== undefined && designateFault(circuit, text).ok;
    return faultsOf(each)
      .filter((fault) => !has(faultText(each, texts.legs, fault)))
      .map((fault) => `${each.id} ${fault}`);
  });
  expect(without).toEqual(nobodysFaults);
});

describe.each(cases.map((each) => [titleOf(each), each] as const))('%s', (_, each) => {
  const texts = diagnosisTexts(each);
  let circuit: Circuit;
  let answer: CheckAnswer;
  beforeAll(async () => {
    circuit = openCircuit(texts.circuit);
    answer = checkJob(circuit, await openJob(circuit, texts.readings));
  });

  it('expects of the healthy circuit what is published', () => {
    const { symptoms, readings } = answer;
    expect(symptoms.map(({ expected }) => expected === 'yes')).toEqual(
      seen(each, 'load').map((observation) => observation.healthy),
    );
    for (const [index, observation] of seen(each, 'meter').entries()) {
      const { expected } = readings[index]!;
      if (expected.kind !== 'driven') throw new Error(`reading ${index + 1} is ${expected.kind}`);
      const healthy = Number(observation.healthy);
      // Published to four figures; a low-impedance input, where one is used, takes off another 0.4 %.
      expect(Math.abs(Math.abs(expected.nominal) - healthy)).toBeLessThan(0.005 + 0.005 * healthy);
    }
  });

  it('finds the same observations amiss', () => {
    const verdict = ({ differs }: Observation) => (differs ? 'differs' : 'agrees');
    expect(answer.symptoms.map((evidence) => evidence.verdict)).toEqual(seen(each, 'load').map(verdict));
    expect(answer.readings.map((evidence) => evidence.verdict)).toEqual(seen(each, 'meter').map(verdict));
    expect(answer.trips.map((evidence) => evidence.verdict)).toEqual(seen(each, 'protector').map(verdict));
    expect(answer.verdict).not.toBe('agrees');
  });

  it('has nothing to say of the same observations when all are as in the healthy circuit', async () => {
    const { verdict, suspects } = checkJob(
      circuit,
      await openJob(circuit, diagnosisTexts(healthy(each)).readings),
    );
    expect({ verdict, suspects }).toEqual({ verdict: 'agrees', suspects: [] });
  });

  it('names the first discrepancy, and the part that bounds it where one does', () => {
    const firstOf = (by: 'meter' | 'load') => seen(each, by).findIndex(({ differs }) => differs) + 1;
    // Two lists in a file of ours: a symptom comes first only when all readings agree.
    const reading = firstOf('meter');
    const first =
      reading > 0 ? { kind: 'reading', index: reading } : { kind: 'symptom', index: firstOf('load') };
    expect(answer.firstDiscrepancy).toMatchObject(first);
    const { bounding } = each.expected;
    if (circuit.parts.has(bounding)) expect(answer.firstDiscrepancy?.bounds).toContain(bounding);
  });

  it.each(faultsOf(each).map((fault) => [fault, each.expected.faults[fault]] as const))(
    'finds %s %s',
    (fault, judgement) => {
      const wanted = nobodysFaults.includes(`${each.id} ${fault}`) ? undefined : faultText(each, texts.legs, fault);
      const suspects = answer.suspects.flatMap((suspect) => suspect.faults.map(faultName));
      const named = wanted === undefined ? undefined : designate(circuit, wanted);
      expect(named !== undefined && suspects.includes(named)).toBe(judgement === 'possible');
    },
  );

  it('suspects no other part of being open or shorted', () => {
    const possible = faultsOf(each)
      .filter((fault) => each.expected.faults[fault] === 'possible' && !fault.startsWith('bridge:'))
      .map((fault) => designate(circuit, faultText(each, texts.legs, fault)!));
    const suspected = answer.suspects
      .flatMap((suspect) => suspect.faults)
      .filter((fault) => publishedModes.includes(fault.mode));
    const wanted = [...possible, ...(alsoSuspected[each.id] ?? [])];
    expect(suspected.map(faultName).sort()).toEqual(wanted.sort());
  });
});

/** The listed faults; `none` is a healthy circuit, which the verdict must not be. */
function faultsOf({ expected }: DiagnosisCase): string[] {
  return Object.keys(expected.faults).filter((fault) => fault !== 'none');
}

function seen({ readings }: DiagnosisCase, by: 'meter' | 'load' | 'protector'): Observation[] {
  const kinds = { operates: 'load', energised: 'load', blown: 'protector', voltage: 'meter', current: 'meter' } as const;
  return readings.filter(({ what }) => kinds[what] === by);
}

function designate(circuit: Circuit, text: string): string {
  const designated = designateFault(circuit, text);
  if (!designated.ok) throw new Error(`no fault ${text}`);
  return faultName(designated.fault);
}

/** The case as it reads when nothing is wrong. */
function healthy(each: DiagnosisCase): DiagnosisCase {
  const readings = each.readings.map(
    (reading): Observation =>
      'observed' in reading
        ? { ...reading, observed: reading.healthy }
        : { ...reading, measured: reading.healthy },
  );
  return { ...each, readings };
}
