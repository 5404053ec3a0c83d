import type { Answers, Wanted } from './answers.js';
import { loadKinds, type SwitchKind, type SwitchName, supplyKinds, switchKinds } from './kinds.js';
import { type Series, type Wired, type WiredLoad, wire } from './wiring.js';

/** A circuit file to start from: whole, valid, and with comments that say what to put in its place. */
export function startingCircuit(answers: Answers): string {
  const wired = wire(answers);
  return [
    header(answers, wired),
    supplySection(answers, wired),
    conditionSection(wired),
    switchSection(wired),
    protectorSection(wired),
    loadSection(wired),
    wireSection(wired),
    nodeSection(wired),
    stateSection(wired),
    expectationSection(wired),
    closing,
  ]
    .filter((section) => section.length > 0)
    .map((section) => `${section.join('\n')}\n`)
    .join('\n');
}

type Section = readonly string[];

function header({ title }: Answers, { loads }: Wired): Section {
  const hazards = [...new Set(loads.flatMap(({ kind }) => loadKinds[kind].hazard ?? []))];
  return [
    '# yaml-language-server: $schema=circuit.schema.json',
    '#',
    '# The line above lets an editor complete and check keys, once the schema stands beside this file:',
    '#   loadside schema circuit --output circuit.schema.json',
    '#',
    '# A circuit to start from. Put the wiring of your appliance in its place, read off its diagram, and try it with',
    '#   loadside validate FILE',
    '#',
    '# As it stands, the current goes',
    ...loads.map(({ way }) => `#   ${way.join(' - ')}`),
    'loadside: circuit/1',
    `title: ${scalar(title)}`,
    'about: What it is, where the drawing came from, what was left out.',
    ...(hazards.length === 0 ? [] : [`hazards: [${hazards.join(', ')}]`]),
  ];
}

/** Bare where YAML takes it for a text in any case, else in double quotes. */
function scalar(text: string): string {
  const isPlain = /^[A-Za-z][\w ,.()/+-]*$/.test(text) && !/^(?:true|false|null)$/i.test(text);
  return isPlain ? text : JSON.stringify(text);
}

function supplySection({ supply: name }: Answers, { supply }: Wired): Section {
  const { system, volts, hertz, lines, back, earthColour } = supply;
  const legs = [...lines, back].map(({ key, node }) => `${key}: ${node}`);
  const earth = earthColour === undefined ? [] : ['earth: MAINS.PE'];
  return [
    `# ${supplyKinds[name].words}.`,
    '# A node is a place a probe can touch, written PART.TERMINAL.',
    'supplies:',
    '  MAINS:',
    `    system: ${system}`,
    `    voltage: ${volts} V${system === 'dc' ? '' : ' # line to neutral'}`,
    ...(hertz === undefined ? [] : [`    frequency: ${hertz} Hz`]),
    `    terminals: { ${[...legs, ...earth].join(', ')} }`,
  ];
}

function kindOf({ kind }: Wanted<SwitchName>): SwitchKind {
  return switchKinds[kind];
}

function conditionSection({ switches, protectors }: Wired): Section {
  const isHot =
    switches.some((each) => kindOf(each).by === 'temperature') ||
    protectors.some(({ kind }) => kind === 'thermal-fuse');
  const hasDoor = switches.some((each) => kindOf(each).by === 'door');
  if (!isHot && !hasDoor) return [];
  return [
    '# What moves contacts without a hand on them, and how it is when nobody touches the appliance.',
    'conditions:',
    ...(isHot
      ? ['  temperature: { unit: degC, rest: 20, from: 0, to: 300 } # degF is understood as well']
      : []),
    ...(hasDoor ? ['  door: { values: [closed, open], rest: closed }'] : []),
  ];
}

function switchSection({ switches, loads }: Wired): Section {
  if (switches.length === 0) return [];
  return [
    '# Each contact sits between two nodes. rest is the position when nobody touches it.',
    'switches:',
    ...switches.flatMap((each) => switchLines(each, loads)),
  ];
}

function switchLines(each: Series<SwitchName>, loads: readonly WiredLoad[]): Section {
  const kind = kindOf(each);
  const head = [`  ${each.name}:`, `    title: ${kind.title}`];
  switch (kind.by) {
    case 'selector':
      return [
        ...head,
        `    positions: [off, ${loads.map(positionOf).join(', ')}]`,
        '    rest: off',
        '    contacts: # a contact may be closed in several positions: closed-in: [one, two]',
        ...each.poles.map((pole) => {
          const own = each.poles.filter(({ load }) => load === pole.load);
          const position = pole.load?.toLowerCase();
          const contact = own.length === 1 ? position : `${position}-${own.indexOf(pole) + 1}`;
          return `      ${contact}: { between: [${pole.between.join(', ')}], closed-in: [${position}] }`;
        }),
      ];
    case 'hand':
      return [
        ...head,
        `    positions: [${kind.rest}, ${kind.closed}]`,
        `    rest: ${kind.rest}`,
        ...contactLines(each, [`closed-in: [${kind.closed}]`]),
      ];
    case 'door':
      return [...head, '    follows: door', ...contactLines(each, ['closed-in: [closed]'])];
    case 'temperature':
      return [
        ...head,
        '    follows: temperature',
        ...contactLines(each, [`opens-above: ${kind.opensAbove}`, `closes-below: ${kind.closesBelow}`]),
      ];
  }
}

function positionOf({ name }: WiredLoad): string {
  return name.toLowerCase();
}

/** One contact in the short form, several each by its line. */
function contactLines({ poles }: Series<SwitchName>, closes: readonly string[]): Section {
  const [only] = poles;
  if (poles.length === 1 && only !== undefined)
    return [`    between: [${only.between.join(', ')}]`, ...closes.map((each) => `    ${each}`)];
  return [
    '    contacts:',
    ...poles.map(
      ({ line, between }) => `      ${line.key}: { between: [${between.join(', ')}], ${closes.join(', ')} }`,
    ),
  ];
}

function protectorSection({ protectors }: Wired): Section {
  if (protectors.length === 0) return [];
  return [
    '# The rating stands on the part itself. Never bridge one: find out why it opened.',
    'protectors:',
    ...protectors.map(({ name, kind, poles, amps }) => {
      const between = poles[0]?.between.join(', ') ?? '';
      const opens =
        kind === 'thermal-fuse' ? 'follows: temperature, opens-above: 120 degC' : `rating: ${amps} A`;
      return `  ${name}: { kind: ${kind}, between: [${between}], ${opens} }`;
    }),
  ];
}

function loadSection({ loads }: Wired): Section {
  return [
    '# rated is what the plate says; a measured part may have resistance: 38.4 ohm in its place.',
    'loads:',
    ...loads.flatMap(({ name, kind, between, volts, watts, powerFactor, job }, index) => [
      `  ${name}:`,
      `    kind: ${kind}`,
      `    between: [${between.join(', ')}]`,
      `    rated: { voltage: ${volts} V, power: ${watts} W${powerFactor === undefined ? '' : `, power-factor: ${powerFactor}`} }`,
      `    job: ${job}${index === 0 ? ' # what a person sees when it works' : ''}`,
    ]),
  ];
}

function wireSection({ wires, supply }: Wired): Section {
  const earth =
    supply.earthColour === undefined
      ? []
      : [`  - { from: MAINS.PE, to: CHASSIS, colour: ${supply.earthColour} }`];
  return [
    '# One line a wire. Where they are known, say more: gauge: 16 AWG (or 1.5 mm2), length: 0.9 m.',
    'wires:',
    ...wires.map(({ from, to, colour }) => `  - { from: ${from}, to: ${to}, colour: ${colour} }`),
    ...earth,
  ];
}

function nodeSection({ supply, loads }: Wired): Section {
  const first = loads[0]?.between[0];
  return [
    '# Only what needs saying: how long it takes to get there and behind what, what is out of reach, what is never',
    '# probed (hazard: high-voltage). The next reading is chosen by it.',
    'nodes:',
    ...[...supply.lines, supply.back].map(
      ({ node }) => `  ${node}: { access: 1 min, behind: plug or terminal cover }`,
    ),
    ...(supply.earthColour === undefined ? [] : ['  CHASSIS: { chassis: true } # metal that can be touched']),
    ...(first === undefined ? [] : [`  ${first}: { access: 5 min, behind: rear cover }`]),
  ];
}

/** The settings that make loads work: of one load where a selector chooses, else of all. */
function settings({ switches }: Wired, load: WiredLoad | undefined): readonly string[] {
  return switches.flatMap((each) => {
    const kind = kindOf(each);
    if (kind.by === 'selector') return load === undefined ? [] : [`${each.name}: ${positionOf(load)}`];
    return kind.by === 'hand' ? [`${each.name}: ${kind.closed}`] : [];
  });
}

/** Each named state with the loads that work in it. */
function statesOf(wired: Wired): readonly { readonly name: string; readonly loads: readonly WiredLoad[] }[] {
  const { switches, loads } = wired;
  if (switches.some(({ kind }) => kind === 'selector'))
    return loads.map((load) => ({ name: positionOf(load), loads: [load] }));
  return settings(wired, undefined).length === 0 ? [] : [{ name: 'running', loads }];
}

function stateSection(wired: Wired): Section {
  const states = statesOf(wired);
  if (states.length === 0) return [];
  return [
    '# Named states: what is not named in one is at rest.',
    'states:',
    ...states.map(({ name, loads: [load] }) => `  ${name}: { ${settings(wired, load).join(', ')} }`),
  ];
}

function expectationSection(wired: Wired): Section {
  const states = statesOf(wired);
  const works = states.length === 0 ? [{ name: '{}', loads: wired.loads }] : states;
  const lines = works.flatMap(({ name, loads }) =>
    loads.map(({ name: load }) => `  - { in: ${name}, load: ${load}, works: yes }`),
  );
  const rest =
    states.length === 0 ? [] : wired.loads.map(({ name }) => `  - { in: {}, load: ${name}, works: no }`);
  // At rest no current drops any of it on the way.
  const { wires, supply } = wired;
  const supplied =
    states.length === 0
      ? []
      : [`  - { in: {}, red: ${wires[0]?.to}, black: ${supply.back.node}, reads: ${supply.volts} V }`];
  const [first] = works;
  const stops = wired.switches.flatMap((each) => {
    const by = kindOf(each).by;
    const setting = by === 'door' ? 'door: open' : by === 'temperature' ? 'temperature: 80' : undefined;
    const state = first?.name === '{}' ? `{ ${setting} }` : `[${first?.name}, { ${setting} }]`;
    return setting === undefined ? [] : [`  - { in: ${state}, load: ${first?.loads[0]?.name}, works: no }`];
  });
  return [
    "# The circuit's own tests: `loadside validate` tries them each time.",
    'expectations:',
    ...supplied,
    ...rest,
    ...lines,
    ...new Set(stops),
  ];
}

const closing: Section = [
  '# A circuit may also hold relays, modules (electronic controls, by what they do), passives (sensors, capacitors),',
  '# transformers, connectors and pin-maps: the README shows each. Readings on live parts are for people trained and',
  '# allowed to take them.',
];
