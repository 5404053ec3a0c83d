/** What a sheet asks for: in walking order, only what may be read, and nothing twice. */
import { describe, expect, test } from 'vitest';
import { designateFault, type State } from '../../src/circuit/circuit.js';
import {
  checkJob,
  listReconnections,
  makeSheet,
  reconnectable,
  type SheetAnswer,
  type SheetReading,
} from '../../src/diagnose/diagnose.js';
import {
  type Job,
  nominalSupplies,
  type Reading,
  TestStand,
  usualInstrument,
} from '../../src/meter/meter.js';
import { branchFigures } from '../../src/solve/solve.js';
import { circuitOf } from '../circuit/open.js';
import { exampleCircuits, hoodText } from '../cli/example-files.js';

const circuits = exampleCircuits.map(([name, , text]) => ({ name, circuit: circuitOf(text) }));
const hood = circuitOf(hoodText);

function rowsOf({ dead, worksheets }: SheetAnswer): readonly SheetReading[] {
  return [...dead, ...worksheets.flatMap(({ sections }) => sections)].flatMap(({ readings }) => readings);
}

/** The places that a reading's leads go to, or the ends of the wire that its clamp goes around. */
function leadsOf({ probe: { where } }: SheetReading): { readonly red: number; readonly black: number } {
  if (where.kind === 'around') throw new Error('a clamp has no leads');
  return where;
}

const isClamp = ({ probe }: SheetReading) => probe.where.kind === 'around';

const whole = circuits.map(({ name, circuit }) => ({
  name,
  circuit,
  rows: rowsOf(makeSheet(circuit, [...circuit.loads.values()])),
}));

describe('every sheet of the examples', () => {
  test.each(whole)('$name: leads go where they may, ohms only without power', ({ circuit, rows }) => {
    expect(rows.length).toBeGreaterThan(10);
    for (const row of rows) {
      const { probe, state } = row;
      for (const place of isClamp(row) ? [] : [leadsOf(row).red, leadsOf(row).black]) {
        const node = circuit.nodes[place];
        expect([node?.name, node?.reachable, node?.hazard]).toEqual([node?.name, true, undefined]);
      }
      expect(probe.unit).toBe(isClamp(row) ? 'A' : state.power ? 'V' : 'ohm');
      // Neither a protector out nor a wire off: nothing is bridged and no earth is lifted.
      expect([state.removed.size, state.disconnected.size, state.unplugged.size]).toEqual([0, 0, 0]);
    }
  });

  test.each(whole)('$name: numbered as the file has them, without power first, none twice', ({ rows }) => {
    expect(rows.map(({ index }) => index)).toEqual(rows.map((_, index) => index + 1));
    const firstLive = rows.findIndex(({ state }) => state.power);
    expect(rows.slice(firstLive).every(({ state }) => state.power)).toBe(true);
    const keys = rows.map(({ probe: { where, unit }, state }) =>
      JSON.stringify([
        state.changes,
        unit,
        where.kind === 'around' ? where.branch : [where.red, where.black].sort(),
      ]),
    );
    expect(new Set(keys).size).toBe(keys.length);
  });

  test.each(whole)('$name: on a walk the black lead stays where it was, while it can', ({ circuit }) => {
    const stand = new TestStand(circuit, nominalSupplies(circuit));
    let stayed = 0;
    for (const { sections } of makeSheet(circuit, [...circuit.loads.values()]).worksheets) {
      const walked = sections.filter(({ what }) => ['line', 'neutral', 'signal'].includes(what));
      const rows = walked.flatMap(({ readings }) => readings);
      for (const [at, row] of rows.entries()) {
        const { state } = row;
        const last = rows[at - 1];
        const before = last === undefined ? undefined : leadsOf(last).black;
        const { red, black } = leadsOf(row);
        if (before === black) stayed += 1;
        if (before === undefined || before === black || before === red) continue;
        const sight = stand.look(state, []);
        if (sight.kind !== 'steady') throw new Error('a sheet is made in states that hold still');
        expect(sight.view.island(before)).not.toBe(sight.view.island(red));
      }
    }
    expect(stayed).toBeGreaterThan(0);
  });

  test.each(whole)('$name: what a sound appliance reads agrees with its own sheet', ({ circuit, rows }) => {
    const stand = new TestStand(circuit, nominalSupplies(circuit));
    for (const { expected, state, probe } of rows) {
      expect(['driven', 'floating']).toContain(expected.kind);
      const sight = stand.look(state, [], probe.unit === 'ohm');
      expect(sight.kind).toBe('steady');
      if (expected.kind !== 'driven') continue;
      expect(expected.low).toBeLessThanOrEqual(expected.nominal);
      expect(expected.high).toBeGreaterThanOrEqual(expected.nominal);
    }
  });
});

describe('the walk to a load', () => {
  const fan = hood.loads.get('FAN')!;
  const sheet = makeSheet(hood, [fan]);
  const name = (node: number) => hood.nodes[node]?.name ?? '';
  const walked = (what: string) =>
    sheet.worksheets[0]!.sections.filter((section) => section.what === what).map((section) => ({
      red: section.readings.map((row) => name(leadsOf(row).red)),
      black: new Set(section.readings.map((row) => name(leadsOf(row).black))),
    }));

  test('goes from the supply to the load on each side, then along the signals', () => {
    expect(walked('line')).toEqual([
      { red: ['F1.1', 'F1.2', 'SP1', 'CTL.L', 'CTL.5', 'J3h.2'], black: new Set(['MAINS.N']) },
    ]);
    expect(walked('neutral')).toEqual([{ red: ['SP2', 'J3h.1'], black: new Set(['MAINS.N']) }]);
    expect(walked('signal')).toEqual([{ red: ['B1.1', 'B1.2', 'CTL.1'], black: new Set(['MAINS.N']) }]);
  });

  test('names the places nobody gets to, and what is never probed', () => {
    const passed = sheet.worksheets[0]!.sections.flatMap((section) =>
      section.passed.map((node) => node.name),
    );
    expect(passed).toEqual(expect.arrayContaining(['FAN.1', 'FAN.4', 'J3b.1']));
    expect(sheet.hazardous.map((node) => node.name)).toEqual(['CTL.HV']);
  });

  test('is made in the named state that makes it work, or in the one given', () => {
    expect(sheet.worksheets[0]!.trace.state?.name).toBe('speed-1');
    const given = { ...sheet.worksheets[0]!.trace.state!, name: 'mine' };
    expect(makeSheet(hood, [fan], given).worksheets[0]!.trace.state?.name).toBe('mine');
  });

  test('covers are counted once, in the order they are opened', () => {
    expect(sheet.covers.map((cover) => cover.name)).toEqual([
      'duct cover (outlet)',
      'CHASSIS',
      'blower cover',
      'wiring box cover',
      'button panel',
      'control cover',
    ]);
  });

  test('behind a transformer the black lead goes to the winding it feeds', () => {
    const { circuit } = circuits.find((each) => each.name === 'range-control')!;
    const rows = rowsOf(makeSheet(circuit, [circuit.loads.get('K1')!]));
    const stand = new TestStand(circuit, nominalSupplies(circuit));
    for (const row of rows) {
      const { state, probe, expected } = row;
      if (probe.unit !== 'V') continue;
      const sight = stand.look(state, []);
      const { red, black } = leadsOf(row);
      expect(sight.kind === 'steady' && sight.view.island(red) === sight.view.island(black)).toBe(true);
      expect(expected.kind).toBe('driven');
    }
    expect(rows.length).toBeGreaterThan(8);
  });
});

describe('a clamp', () => {
  const clampsOf = ({ circuit, rows }: (typeof whole)[number]) =>
    rows.filter(isClamp).map(({ probe: { where }, expected, state }) => {
      if (where.kind !== 'around') throw new Error('a clamp is around a wire');
      return { wire: circuit.branches[where.branch], branch: where.branch, expected, state };
    });

  test.each(whole)('$name: around one safe wire that is clear of none flowing', (each) => {
    const stand = new TestStand(each.circuit, nominalSupplies(each.circuit));
    const terminals = [...each.circuit.supplies.values()].flatMap(({ legs }) => legs.map(({ node }) => node));
    for (const { wire, branch, expected, state } of clampsOf(each)) {
      expect(wire?.role).toBe('wire');
      for (const node of [wire?.from ?? -1, wire?.to ?? -1]) {
        expect(terminals).not.toContain(node);
        expect(each.circuit.nodes[node]?.hazard).toBeUndefined();
      }
      if (expected.kind !== 'driven') throw new Error('a clamp reads amps');
      expect(expected.low).toBeGreaterThan(expected.nominal / 2);
      // What flows there flows through some load, and through nothing beside it.
      const sight = stand.look(state, []);
      if (sight.kind !== 'steady') throw new Error('a sheet is made in states that hold still');
      const { amps } = branchFigures(sight.view, branch);
      const loads = [...each.circuit.loads.values()].flatMap(({ does }) => does.branch ?? []);
      expect(loads.some((load) => Math.abs(branchFigures(sight.view, load).amps - amps) < 1e-5 * amps)).toBe(
        true,
      );
    }
  });

  test('is listed for an element, and for what takes next to nothing not', () => {
    const dryer = circuits.find((each) => each.name === 'dryer')!.circuit;
    const amps = (load: string) => rowsOf(makeSheet(dryer, [dryer.loads.get(load)!])).filter(isClamp).length;
    expect([amps('HEATER'), amps('MOTOR'), amps('TICK')]).toEqual([1, 1, 0]);
  });
});

test('a place without one for the black lead is not called out of reach', () => {
  const { circuit } = circuits.find((each) => each.name === 'range-control')!;
  const sections = makeSheet(circuit, [circuit.loads.get('BAKE')!]).worksheets[0]!.sections;
  const unheld = sections.flatMap((section) => section.unheld.map((node) => node.name));
  expect(unheld).toContain('MODE.1');
  for (const { passed } of sections) for (const node of passed) expect(node.reachable).toBe(false);
});

/** The sheet filled in by somebody who reads an appliance with this fault. */
function filled(sheet: SheetAnswer, fault: string): Job {
  const designated = designateFault(sheet.circuit, fault);
  if (!designated.ok) throw new Error(fault);
  const stand = new TestStand(sheet.circuit, nominalSupplies(sheet.circuit));
  const readings = rowsOf(sheet).flatMap(({ index, state, probe }): Reading[] => {
    const shown = stand.expect(state, probe, [designated.fault]);
    const reading = { index, state, where: probe.where, meter: usualInstrument };
    if (shown.kind === 'driven')
      return [{ ...reading, shown: { kind: 'value', value: shown.nominal, unit: probe.unit } }];
    return probe.unit === 'ohm' ? [{ ...reading, shown: { kind: 'over-range', unit: 'ohm' } }] : [];
  });
  const symptoms = sheet.worksheets.map(({ trace }, index) => ({
    index: index + 1,
    state: trace.state as State,
    load: trace.load,
    works: false,
  }));
  return { meter: usualInstrument, supply: new Map(), symptoms, trips: [], readings };
}

test.each(['B1:open', 'CTL:dead', 'SP2-J3h.1:open'])(
  'filled in on an appliance with %s it bounds that part',
  (fault) => {
    const job = filled(makeSheet(hood, [hood.loads.get('FAN')!]), fault);
    const { suspects, verdict } = checkJob(hood, job);
    expect(verdict).toMatch(/bounded|ambiguous/);
    expect(suspects[0]?.faults[0]?.part).toBe(fault.split(':')[0]);
  },
);

describe('a part about to be replaced', () => {
  test('has every wire that ends on it, with colour, gauge and other end', () => {
    const { rows } = listReconnections(hood, 'CTL');
    const wires = rows.flatMap(({ terminals }) =>
      terminals.flatMap(({ terminal, wires: own }) =>
        own.map(({ part, far }) => [terminal.name, part.colour, part.gauge, far.name]),
      ),
    );
    expect(wires).toContainEqual(['CTL.1', 'orange', '22 AWG', 'B1.2']);
    expect(wires).toContainEqual(['CTL.8', 'black', '20 AWG', 'J3h.5']);
    const ends = hood.branches.filter(
      ({ role, from, to }) =>
        role === 'wire' && [from, to].some((node) => hood.nodes[node]?.name.startsWith('CTL.')),
    );
    expect(wires).toHaveLength(ends.length);
  });

  test('of a plug: both sides; of a switch: both wires of a shared terminal', () => {
    expect(listReconnections(hood, 'J3').rows.map(({ owner }) => owner)).toEqual(['J3h', 'J3b']);
    const [row] = listReconnections(hood, 'B2').rows;
    expect(row?.terminals.map(({ wires }) => wires.length)).toEqual([2, 1]);
  });

  test('an exchange that stops nothing but changes a speed is told by its volts', () => {
    const [row] = listReconnections(hood, 'CTL').rows;
    const five = row?.terminals.find(({ terminal }) => terminal.name === 'CTL.5');
    expect(five?.exchange?.slip?.effects).toEqual([]);
    expect(five?.exchange?.slip?.shifts.map(({ load, state }) => [load.name, state.name])).toEqual([
      ['FAN', 'speed-1'],
      ['FAN', 'speed-2'],
    ]);
  });

  test.each(circuits)(
    '$name: every one can be asked for',
    ({ circuit }) => {
      for (const part of reconnectable(circuit)) {
        const { rows } = listReconnections(circuit, part);
        for (const { terminals } of rows)
          for (const { terminal, wires } of terminals)
            for (const { part: wire, far } of wires)
              expect([wire.kind, far.index === terminal.index]).toEqual(['wire', false]);
      }
    },
    60_000,
  );
});
