import { type Circuit, listFaults, type Mode } from '../circuit/circuit.js';
import { nearestName } from '../text/text.js';

/** What a learner says it is. */
export type Verdict =
  | { readonly ok: true; readonly part: string; readonly mode?: Mode }
  | {
      readonly ok: false;
      readonly found: string;
      readonly what: 'part' | 'way to fail';
      /** Whose ways to fail they are. */
      readonly of?: string;
      readonly nearest: string | undefined;
      readonly allowed: readonly string[];
    };

/** `TF`, `TF:open` or what a part is called ("thermal fuse"), in any letter case where only one is meant. */
export function readVerdict(circuit: Circuit, text: string): Verdict {
  const wanted = text.trim();
  const whole = partCalled(circuit, wanted);
  if (whole !== undefined) return { ok: true, part: whole };
  const colon = wanted.lastIndexOf(':');
  const part = colon === -1 ? undefined : partCalled(circuit, wanted.slice(0, colon).trim());
  if (part === undefined) {
    const called = [...circuit.parts.values()].flatMap(({ name, noun }) => [name, noun]);
    const head = colon === -1 ? wanted : wanted.slice(0, colon);
    const nearest = nearestName(head, called);
    return { ok: false, found: wanted, what: 'part', nearest, allowed: [...circuit.parts.keys()] };
  }
  const said = (wanted.slice(colon + 1).split('=')[0] ?? '').trim();
  const modes = modesOf(circuit, part);
  const mode = modes.find((each) => each === said);
  if (mode !== undefined) return { ok: true, part, mode };
  const nearest = nearestName(said, modes);
  return { ok: false, found: said, what: 'way to fail', of: part, nearest, allowed: modes };
}

/** By its name, by a contact or terminal of it (`SEL.bake`), or by what it is called. */
function partCalled({ parts }: Circuit, text: string): string | undefined {
  if (parts.has(text)) return text;
  const dot = text.lastIndexOf('.');
  const owner = dot === -1 ? undefined : text.slice(0, dot);
  if (owner !== undefined && parts.has(owner)) return owner;
  const lower = text.toLowerCase();
  const meant = [...parts.values()].filter(
    ({ name, noun }) => name.toLowerCase() === lower || noun.toLowerCase() === lower,
  );
  return meant.length === 1 ? meant[0]?.name : undefined;
}

function modesOf(circuit: Circuit, name: string): readonly Mode[] {
  const own = listFaults(circuit).filter((fault) => fault.part === name || fault.with === name);
  const variable = circuit.parts.get(name)?.variableFaults ?? [];
  return [...new Set([...own, ...variable].map(({ mode }) => mode))];
}
