import type { Circuit, Rule, State } from '../circuit/circuit.js';

/** Which contacts of a switch are closed in which position. */
export interface ContactChart {
  readonly switch: string;
  readonly title?: string;
  readonly positions: readonly string[];
  /** The position in the state that is drawn. */
  readonly at?: string;
  readonly contacts: readonly {
    readonly name: string;
    readonly between: readonly [string, string];
    readonly closed: readonly boolean[];
  }[];
  /** Its positions are steps that follow one another. */
  readonly steps: boolean;
}

/** Fewer steps than this read better as a chart than as bars. */
const leastSteps = 5;

/** The charts of switches that have more to say than out and in: several contacts, or more than two positions. */
export function contactCharts(circuit: Circuit, state: State | undefined): readonly ContactChart[] {
  const { branches, nodes, parts, switches } = circuit;
  return [...switches.values()].flatMap(({ name, positions }): ContactChart[] => {
    const part = parts.get(name);
    if (positions === undefined || part === undefined) return [];
    const contacts = part.branches.flatMap((index) => {
      const branch = branches[index];
      const gate = branch?.gate;
      if (branch === undefined || gate?.kind !== 'position') return [];
      const ends = [nodes[branch.from]?.name ?? '', nodes[branch.to]?.name ?? ''] as const;
      const closed = positions.map((each) => gate.closedIn.has(each));
      return [{ name: branch.name.slice(name.length + 1), between: ends, closed }];
    });
    if (contacts.length < 2 && positions.length < 3) return [];
    const numbered = positions.filter((each) => /^\d+$/.test(each)).length;
    const steps = numbered >= leastSteps && numbered >= positions.length - 1;
    const at = state?.settings.get(name);
    return [
      {
        switch: name,
        ...(part.title === undefined ? {} : { title: part.title }),
        positions,
        ...(at === undefined ? {} : { at: String(at) }),
        contacts,
        steps,
      },
    ];
  });
}

/** What a module does with its inputs. */
export interface ModuleChart {
  readonly module: string;
  readonly title?: string;
  readonly inputs: readonly {
    readonly name: string;
    readonly between: readonly [string, string];
    readonly atLeast: number;
  }[];
  readonly outputs: readonly {
    readonly name: string;
    readonly load: string;
    readonly job: string;
    readonly when: Rule;
  }[];
}

export function moduleCharts(circuit: Circuit): readonly ModuleChart[] {
  const { actuators, modules, nodes, parts, loads } = circuit;
  return [...modules.values()].map(({ name, inputs, outputs }) => {
    const title = parts.get(name)?.title;
    return {
      module: name,
      ...(title === undefined ? {} : { title }),
      inputs: inputs.map(({ name: input, between: [a, b], atLeast }) => ({
        name: input,
        between: [nodes[a]?.name ?? '', nodes[b]?.name ?? ''],
        atLeast,
      })),
      outputs: outputs.flatMap((index) => {
        const actuator = actuators[index];
        if (actuator?.kind !== 'output') return [];
        const job = loads.get(actuator.name)?.job ?? '';
        return [{ name: actuator.output, load: actuator.name, job, when: actuator.when }];
      }),
    };
  });
}
