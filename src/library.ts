/**
 * loadside as a library: circuits and readings as text or data in, answers as data out. Nothing here touches disk,
 * terminal or network, keeps anything between calls but what a circuit's networks came to, or ends the process; it runs
 * in a browser as it does in Node.
 */
export { check } from './answer/check.js';
export { type CircuitResult, type ReadOptions, readCircuit } from './answer/circuit.js';
export { type ExpectOptions, expect, type GivenState } from './answer/expect.js';
export type { Given } from './answer/given.js';
export { type NextOptions, next } from './answer/next.js';
export type { ReadyCircuit } from './answer/ready-circuit.js';
export type { CheckReport, ExpectReport, Json, NextReport, UnusableReport, Verdict } from './answers.js';
