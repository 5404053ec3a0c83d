import { faultName, listFaults, type Circuit as Model } from '../circuit/circuit.js';
import type { ReadyCircuit } from './ready-circuit.js';

const models = new WeakMap<ReadyCircuit, Model>();

/** What a caller holds of a model. */
export function readyOf(model: Model): ReadyCircuit {
  const ready = Object.freeze({
    title: model.title,
    testPoints: model.nodes
      .filter(({ reachable, hazard }) => reachable && hazard === undefined)
      .map(({ name }) => name),
    parts: [...model.parts.keys()],
    loads: [...model.loads.keys()],
    states: [...model.states.keys()],
    faults: listFaults(model).map(faultName),
  });
  models.set(ready, model);
  return ready;
}

/** The model behind it. Throws a `TypeError` for anything that `readCircuit` has not given. */
export function modelOf(circuit: ReadyCircuit): Model {
  const model = models.get(circuit);
  if (model === undefined) throw new TypeError('the first argument is a circuit that readCircuit gave');
  return model;
}
