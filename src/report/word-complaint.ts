import type { State } from '../circuit/circuit.js';
import type { Symptom } from '../meter/meter.js';
import { clean } from './clean.js';
import { listed } from './phrases.js';
import { wordState } from './word-state.js';

/** Verbs that say what a load does, as they stand in a job and behind "does not". */
const verbs: Readonly<Record<string, string>> = {
  advances: 'advance',
  blinks: 'blink',
  blows: 'blow',
  boils: 'boil',
  clicks: 'click',
  closes: 'close',
  comes: 'come',
  cools: 'cool',
  drains: 'drain',
  drives: 'drive',
  fills: 'fill',
  flows: 'flow',
  gets: 'get',
  glows: 'glow',
  goes: 'go',
  heats: 'heat',
  lights: 'light',
  locks: 'lock',
  moves: 'move',
  opens: 'open',
  pulls: 'pull',
  pumps: 'pump',
  rings: 'ring',
  rises: 'rise',
  runs: 'run',
  shines: 'shine',
  shows: 'show',
  sounds: 'sound',
  spins: 'spin',
  starts: 'start',
  strikes: 'strike',
  ticks: 'tick',
  turns: 'turn',
  warms: 'warm',
  works: 'work',
};

/** A complaint as a customer would tell it: what it does not do, what it does without being asked, what still works. */
export function complaintLines(symptoms: readonly Symptom[], wrong: readonly Symptom[]): string[] {
  const idle = wrong.filter(({ works }) => !works);
  const unasked = wrong.filter(({ works }) => works);
  const fine = symptoms.filter((symptom) => symptom.works && !wrong.includes(symptom));
  return [
    ...byJob(idle).map(([job, states]) => `${wordNot(job)} ${states}.`),
    ...byJob(unasked).map(([job, states]) => `${wordDoes(job)} ${states}, where it should not.`),
    ...byJob(fine).map(([job, states]) => `${wordDoes(job)} ${states}, as it should.`),
  ];
}

function byJob(symptoms: readonly Symptom[]): [job: string, states: string][] {
  const states = new Map<string, State[]>();
  for (const { load, state } of symptoms) states.set(load.job, [...(states.get(load.job) ?? []), state]);
  return [...states].map(([job, each]) => [clean(job), wordStates(each)]);
}

function wordStates(states: readonly State[]): string {
  const named = states.map(wordState);
  const others = named.filter((each) => each !== 'at rest');
  const touched = others.length === 0 ? [] : [`in ${listed(others, 'and')}`];
  const rest = others.length < named.length ? ['with nothing touched'] : [];
  return [...rest, ...touched].join(' and ');
}

/** `fan turns` to "The fan does not turn"; a job that is put otherwise is quoted. */
function wordNot(job: string): string {
  const words = job.split(' ');
  const at = words.findIndex((word, index) => index > 0 && (word === 'is' || Object.hasOwn(verbs, word)));
  if (at === -1) return `Not as it should: "${job}",`;
  const verb = words[at] ?? '';
  const not = verb === 'is' ? 'is not' : `does not ${verbs[verb]}`;
  return [article(words.slice(0, at)), not, ...words.slice(at + 1)].join(' ');
}

function wordDoes(job: string): string {
  return article([job]);
}

function article(words: readonly string[]): string {
  const text = words.join(' ');
  return /^(?:the|a|an) /i.test(text) ? `${text[0]?.toUpperCase()}${text.slice(1)}` : `The ${text}`;
}
