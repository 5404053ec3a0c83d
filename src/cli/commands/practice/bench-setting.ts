import type { MeterFunction, Setting } from './ask.js';

/** What is set on the bench and where the leads are; whatever is not told stays. */
export interface BenchSetting {
  /** Named states and `SWITCH=position`, in order. */
  readonly state: readonly string[];
  readonly power: boolean;
  readonly lifted: readonly string[];
  readonly parted: readonly string[];
  readonly red?: string;
  readonly black?: string;
  readonly on?: string;
  readonly function?: MeterFunction;
  readonly input: 'high' | 'low';
}

export const untouched: BenchSetting = { state: [], power: true, lifted: [], parted: [], input: 'high' };

/** Words of the bench that change what is set, with what stands behind them. */
export const settingHelp: readonly (readonly [line: string, does: string])[] = [
  ['state bake', 'a named state, from rest'],
  ['set SEL=bake', 'one switch or condition, the others as they are'],
  ['rest', 'everything back as it was at first'],
  ['power off', 'isolated and proved dead; power on'],
  ['lift BAKE.1', 'its wires off; join BAKE.1 puts them back'],
  ['unplug J3', 'a connector apart; plug J3'],
  ['red BAKE.1', 'the red lead there'],
  ['black BAKE.2', 'the black lead there'],
  ['clamp W7', 'the clamp around a wire: amps'],
  ['volts', 'or volts ac, volts dc, ohms'],
  ['input low', "the meter's low-impedance input; input high"],
];

const functions: Readonly<Record<string, MeterFunction>> = {
  volts: 'V',
  'volts ac': 'V ac',
  'volts dc': 'V dc',
  ohms: 'ohm',
};

/** The setting after a line of the bench; undefined where the line sets nothing. */
export function changedSetting(at: BenchSetting, line: string): BenchSetting | undefined {
  const [word = '', ...others] = line.split(/\s+/);
  const what = others.join(' ');
  const set = functions[line];
  if (set !== undefined) return { ...withoutClamp(at), function: set };
  if (word === 'rest' && what === '') return { ...at, state: [], power: true, lifted: [], parted: [] };
  if (what === '') return undefined;
  switch (word) {
    case 'state':
      return { ...at, state: others };
    case 'set':
      return { ...at, state: [...at.state, ...others] };
    case 'power':
      return what === 'on' || what === 'off' ? { ...at, power: what === 'on' } : undefined;
    case 'lift':
      return { ...at, lifted: [...without(at.lifted, what), what] };
    case 'join':
      return { ...at, lifted: without(at.lifted, what) };
    case 'unplug':
      return { ...at, parted: [...without(at.parted, what), what] };
    case 'plug':
      return { ...at, parted: without(at.parted, what) };
    case 'red':
      return { ...withoutClamp(at), red: what };
    case 'black':
      return { ...withoutClamp(at), black: what };
    case 'clamp':
      return { ...at, on: what, function: 'A' };
    case 'input':
      return what === 'high' || what === 'low' ? { ...at, input: what } : undefined;
    default:
      return undefined;
  }
}

function without(names: readonly string[], name: string): string[] {
  return names.filter((each) => each !== name);
}

function withoutClamp({ on, function: set, ...rest }: BenchSetting): BenchSetting {
  return on === undefined && set !== undefined ? { ...rest, function: set } : rest;
}

/** As the command line would say it. */
export function settingOf({ state, power, lifted, parted, ...leads }: BenchSetting): Setting {
  const list = (key: string, names: readonly string[]) =>
    names.length === 0 ? [] : [`${key}=${names.join('+')}`];
  const all = [
    ...state,
    ...(power ? [] : ['power=off']),
    ...list('disconnected', lifted),
    ...list('unplugged', parted),
  ];
  const { red, black, ...others } = leads;
  // Leads hang free while the clamp is on.
  return { ...others, state: all, ...(others.on === undefined ? { red, black } : {}) };
}
