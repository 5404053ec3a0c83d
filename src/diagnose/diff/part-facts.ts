import type { Branch, Circuit, Gate, Rule } from '../../circuit/circuit.js';

/** What is electrically so of a part; colours, titles and where it is behind are not. */
export type FactKind =
  | 'kind'
  | 'ends'
  | 'ohms'
  | 'reactance'
  | 'dead-ohms'
  | 'tolerance'
  | 'at-rest-ohms'
  | 'closed-while'
  | 'sensor'
  | 'turns'
  | 'volts'
  | 'hertz'
  | 'degrees'
  | 'rating'
  | 'at-least'
  | 'picks-up-at'
  | 'drops-out-below'
  | 'on-while';

export interface Fact {
  /** The part, or one of its contacts, inputs, legs. */
  readonly of: string;
  readonly kind: FactKind;
  /** Texts as the file has them; numbers in SI units, shares as shares. */
  readonly value: string | number;
}

/** All facts of a circuit's parts, by part, in file order. */
export function partFacts(circuit: Circuit): ReadonlyMap<string, readonly Fact[]> {
  const facts = new Map<string, Fact[]>();
  for (const { name: given, kind } of circuit.parts.values()) {
    const name = nameOf(circuit, given);
    facts.set(name, [{ of: name, kind: 'kind', value: kind }]);
  }
  const add = (part: string, of: string, kind: FactKind, value: string | number | undefined) => {
    if (value !== undefined) facts.get(part)?.push({ of, kind, value });
  };
  for (const branch of circuit.branches) {
    if (branch.gate?.kind === 'fault') continue;
    const [part, of] = [branch.part, branch.name].map((name) => nameOf(circuit, name));
    branchFacts(circuit, branch, (kind, value) => add(part ?? '', of ?? '', kind, value));
  }
  for (const { name, rating } of circuit.protectors.values()) add(name, name, 'rating', rating?.amps);
  for (const { name, part, does } of circuit.loads.values())
    add(part, name, 'at-least', does.kind === 'volts' ? does.atLeast : undefined);
  for (const module of circuit.modules.values()) {
    add(module.name, `${module.name}.supply`, 'at-least', module.supply.atLeast);
    for (const input of module.inputs)
      add(module.name, `${module.name}.${input.name}`, 'at-least', input.atLeast);
  }
  for (const actuator of circuit.actuators) {
    const { name, part } = actuator;
    if (actuator.kind === 'output') add(part, name, 'on-while', ruleText(actuator.when));
    if (actuator.kind !== 'relay') continue;
    add(part, name, 'picks-up-at', actuator.picksUpAt);
    add(part, name, 'drops-out-below', actuator.dropsOutBelow);
  }
  return facts;
}

/** A wire that is named by its ends is the same one whichever of them stands first. */
function nameOf({ parts, branches, nodes }: Circuit, name: string): string {
  const part = parts.get(name);
  const branch = part?.kind === 'wire' ? branches[part.branches[0] ?? -1] : undefined;
  if (branch === undefined) return name;
  const [from = '', to = ''] = [branch.from, branch.to].map((end) => nodes[end]?.name);
  const [ends = '', copy] = name.split('#');
  if (ends !== `${from}-${to}`) return name;
  return [[from, to].sort().join('-'), ...(copy === undefined ? [] : [copy])].join('#');
}

function branchFacts(
  circuit: Circuit,
  { from, to, impedance, atRest, gate, sensor, winding, emf, role }: Branch,
  add: (kind: FactKind, value: string | number | undefined) => void,
): void {
  const ends = [from, to].flatMap((end) => circuit.nodes[end]?.name ?? []);
  // Which end of a plain conductor stands first is a matter of writing; of a load or source it is the red side.
  add('ends', (role === 'wire' || role === 'contact' ? ends.sort() : ends).join(', '));
  add('ohms', impedance.ohms);
  add('reactance', impedance.reactanceOhms === 0 ? undefined : impedance.reactanceOhms);
  add('dead-ohms', impedance.dead?.ohms);
  add('tolerance', impedance.tolerance === 0 ? undefined : impedance.tolerance);
  add('at-rest-ohms', atRest && Math.hypot(atRest.impedance.ohms, atRest.impedance.reactanceOhms));
  add('closed-while', gate && gateText(circuit, gate));
  add('sensor', sensor && `${sensor.condition} ${JSON.stringify(sensor.curve)}`);
  add('turns', winding?.turns);
  add('volts', emf?.volts);
  add('hertz', emf?.hertz);
  add('degrees', emf === undefined || emf.degrees === 0 ? undefined : emf.degrees);
}

function gateText(circuit: Circuit, gate: Gate): string {
  switch (gate.kind) {
    case 'position':
    case 'value': {
      const of = gate.kind === 'position' ? gate.switch : gate.condition;
      return `${of} = ${[...gate.closedIn].join(' or ')}`;
    }
    case 'threshold': {
      const { opensAbove, closesBelow, closesAbove, opensBelow } = gate.limits;
      const limits = {
        'opens above': opensAbove,
        'closes below': closesBelow,
        'closes above': closesAbove,
        'opens below': opensBelow,
      };
      const said = Object.entries(limits).flatMap(([word, value]) =>
        value === undefined ? [] : `${word} ${value}`,
      );
      return `${gate.condition}: ${said.join(', ')}`;
    }
    case 'actuator':
      return `${circuit.actuators[gate.actuator]?.name} ${gate.closedWhen ? 'on' : 'off'}`;
    case 'fault':
      return 'never';
  }
}

function ruleText(rule: Rule): string {
  switch (rule.kind) {
    case 'input':
      return rule.input;
    case 'not':
      return `not (${ruleText(rule.of)})`;
    case 'all':
    case 'any':
      return `${rule.kind} of (${rule.of.map(ruleText).join(', ')})`;
  }
}
