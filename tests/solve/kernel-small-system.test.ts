import fc from 'fast-check';
import { type BigNumber, create, lusolveDependencies, type Matrix } from 'mathjs';
import { expect, test } from 'vitest';
import { mostUnknowns, newSmallSystem, solveSmall } from '../../src/solve/small-system.js';
