import { type Input, instrument, type Job, type Probe, type Unit, type Where } from '../../meter/meter.js';
import { branchFigures, isDcBetween, isPresent, type View } from '../../solve/solve.js';
import type { Pair } from './candidates.js';
import type { SafePlaces } from './safe-places.js';
import type { Scene } from './scenes.js';
import type { Search } from './search.js';

/** Readings thought of with the power on: volts with both inputs where something may float, and a clamp. */
export function liveProbes({ leads, wires, places, job, conductorsBetween }: Search, scene: Scene): Probe[] {
  const probes: Probe[] = [];
  for (const [red, black] of leads) {
    if (!mayDrop(scene.sound, conductorsBetween(red, black))) continue;
    const where = { kind: 'between', red, black } as const;
    probes.push(voltsProbe(scene, where, 'high-impedance', job));
    const floats = scene.views.some((view) => view !== undefined && view.island(red) !== view.island(black));
    if (floats && mayLoad(places, red) && mayLoad(places, black))
      probes.push(voltsProbe(scene, where, 'low-impedance', job));
  }
  for (const branch of wires) probes.push({ where: { kind: 'around', branch }, unit: 'A', meter: job.meter });
  return probes;
}

/** A low-impedance input upsets signals, and against earth its current may trip the building's residual-current protection. */
function mayLoad({ isDelicate, isEarth }: SafePlaces, node: number): boolean {
  return !isDelicate(node) && !isEarth(node);
}

function voltsProbe({ sound }: Scene, where: Where & { kind: 'between' }, input: Input, job: Job): Probe {
  const meter = input === job.meter.input ? job.meter : instrument(input, job.meter.accuracy);
  const probe = { where, unit: 'V' as Unit, meter };
  const frequencies = sound?.point.plan.frequencies ?? [];
  if (sound === undefined || frequencies.length < 2 || !frequencies.includes(0)) return probe;
  return { ...probe, current: isDcBetween(sound, where.red, where.black) ? 'dc' : 'ac' };
}

/** Amps from which a drop across a closed contact or a wire means anything. */
const leastAmps = 1e-4;

/** Across what is closed, volts mean something only where current flows. */
function mayDrop(sound: View | undefined, direct: readonly number[]): boolean {
  if (sound === undefined) return direct.length === 0;
  return direct.every(
    (branch) => !isPresent(sound, branch) || branchFigures(sound, branch).amps >= leastAmps,
  );
}

/** Readings thought of with the power off: ohms across what is suspected and to the chassis, or across one pair. */
export function deadProbes({ dead, job }: Search, only: Pair | undefined): Probe[] {
  const pairs = only === undefined ? dead : [only];
  return pairs.map(([red, black]) => ({
    where: { kind: 'between', red, black },
    unit: 'ohm',
    meter: job.meter,
  }));
}
