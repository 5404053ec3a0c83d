import {
  limits,
  type Raw,
  type ReadFile,
  readCircuitData,
  readCircuitFile,
  readReadingsData,
  readReadingsFile,
} from '../text/text.js';
import type { Given } from './given.js';
import { readGiven } from './read-given.js';

/** Readings in any form; as CSV where the name ends so. */
export function readReadings(readings: Given, name: string): ReadFile<Raw.RawReadings> {
  return readGiven(readings, name, {
    text: readReadingsFile,
    data: readReadingsData,
    most: limits.readingsBytes,
  });
}

/** A circuit in any form. */
export function readCircuitGiven(circuit: Given, name: string): ReadFile<Raw.RawCircuit> {
  return readGiven(circuit, name, {
    text: readCircuitFile,
    data: readCircuitData,
    most: limits.circuitBytes,
  });
}
