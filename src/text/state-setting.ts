/** Settings that hold a list, joined by + where a state stands on one line: `unplugged=J3+J4`, `after=START=pressed+on`. */
const listSettings: ReadonlySet<string> = new Set(['unplugged', 'disconnected', 'removed', 'after']);

/** A number a state may hold as such; anything else stays text. */
const decimal = /^[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?$/;

/** A plain finite decimal as a number, any other text as it is. */
export function numberOrText(text: string): number | string {
  const number = Number(text);
  // Adding zero turns -0 into 0.
  return decimal.test(text) && Number.isFinite(number) ? number + 0 : text;
}

/** The value of one setting, `KEY=value` in a CSV cell or on the command line, in the shape of a file's state. */
export function settingOf(key: string, value: string): unknown {
  if (!listSettings.has(key)) return numberOrText(value);
  const items = value
    .split('+')
    .map((item) => item.trim())
    .filter((item) => item !== '');
  return key === 'after' ? items.map(stateOf) : items;
}

/** A state that went before: a name, or one setting of its own. */
function stateOf(item: string): unknown {
  const equals = item.indexOf('=');
  if (equals === -1) return item;
  const map: Record<string, unknown> = Object.create(null);
  map[item.slice(0, equals).trim()] = numberOrText(item.slice(equals + 1).trim());
  return map;
}
