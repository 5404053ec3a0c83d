/** A job as a readings file, so that a case that went wrong can be looked at: `loadside check FILE --circuit CIRCUIT`. */
import type { Circuit, State } from '../../src/circuit/circuit.js';
import type { Job, Reading } from '../../src/meter/meter.js';

export function readingsText(circuit: Circuit, job: Job): string {
  const symptoms = job.symptoms.map(
    ({ state, load, works }) =>
      `  - { in: ${inText(state)}, load: ${load.name}, works: ${works ? 'yes' : 'no'} }`,
  );
  const readings = job.readings.map((reading) => `  - { ${readingText(circuit, reading)} }`);
  const supply = [...job.supply].map(([name, volts]) => `${name}: ${volts} V`).join(', ');
  return [
    'loadside: readings/1',
    `meter: { input: ${job.meter.input} }`,
    ...(supply === '' ? [] : [`supply: { ${supply} }`]),
    ...(symptoms.length === 0 ? [] : ['symptoms:', ...symptoms]),
    ...(readings.length === 0 ? ['readings: []'] : ['readings:', ...readings]),
    '',
  ].join('\n');
}

function inText(state: State): string {
  return state.name ?? JSON.stringify(state.changes);
}

function readingText(circuit: Circuit, { state, where, shown, meter }: Reading): string {
  const name = (node: number) => circuit.nodes[node]?.name;
  const at =
    where.kind === 'between'
      ? `red: ${name(where.red)}, black: ${name(where.black)}`
      : `on: ${circuit.branches[where.branch]?.part}`;
  const kind = shown.kind === 'value' && shown.current !== undefined ? ` ${shown.current}` : '';
  const reads =
    shown.kind === 'blank' ? '' : shown.kind === 'over-range' ? 'OL' : `${shown.value} ${shown.unit}${kind}`;
  return `in: ${inText(state)}, ${at}, input: ${meter.input}, reads: ${reads}`;
}
