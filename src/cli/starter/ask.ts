import type { World } from '../world.js';
import { readAnswers, Unanswerable, usual, type Written } from './answers.js';
import { loadKinds, protectorKinds, supplyKinds, switchKinds } from './kinds.js';

/**
 * Asks a person for what was not given; Enter takes what is usual. An answer that is none is asked for again.
 * Undefined when the person leaves.
 */
export async function askForRest(world: World, given: Written): Promise<Written | undefined> {
  const talk = await world.converse(() => []);
  try {
    return await askAll(world, talk.ask, given);
  } finally {
    talk.end();
  }
}

async function askAll(
  world: World,
  ask: (question: string) => Promise<string | undefined>,
  given: Written,
): Promise<Written | undefined> {
  let answers = given;
  for (const { key, question, several } of questions) {
    if (answers[key] !== undefined) continue;
    for (;;) {
      const line = await ask(question);
      if (line === undefined) return undefined;
      const text = line.trim();
      const next = text === '' ? answers : { ...answers, [key]: several ? listIn(text) : text };
      const trouble = troubleIn(next);
      if (trouble === undefined) {
        answers = next;
        break;
      }
      world.err(`${trouble.message}\n${trouble.help}\n`);
    }
  }
  return answers;
}

/** `none` is an empty list. */
function listIn(text: string): readonly string[] {
  return text === 'none' ? [] : text.split(',').map((each) => each.trim());
}

function troubleIn(written: Written): Unanswerable | undefined {
  try {
    readAnswers(written);
    return undefined;
  } catch (error) {
    if (error instanceof Unanswerable) return error;
    throw error;
  }
}

const kinds = (table: object) => Object.keys(table).join(', ');

const questions: readonly {
  readonly key: keyof Written;
  readonly question: string;
  readonly several: boolean;
}[] = [
  { key: 'title', question: `What is the appliance? [${usual.title}] `, several: false },
  { key: 'supply', question: `Supply: ${kinds(supplyKinds)} [${usual.supply}] `, several: false },
  {
    key: 'load',
    question: `Loads, a comma between them: ${kinds(loadKinds)};\n  with a name and power: HEAT=heating-element:2 kW [${usual.load}] `,
    several: true,
  },
  {
    key: 'protector',
    question: `What protects them: ${kinds(protectorKinds)}, or none [${usual.protector}] `,
    several: true,
  },
  {
    key: 'switch',
    question: `Switches from the supply on: ${kinds(switchKinds)}, or none [${usual.switch}] `,
    several: true,
  },
];
