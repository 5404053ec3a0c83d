import type { Circuit, State } from '../../../circuit/circuit.js';
import { faultParts } from '../../../practice/practice.js';
import {
  actJson,
  actTable,
  answerTable,
  asciiOnly,
  benchHelp,
  cautions,
  historyTable,
  openingText,
  showProblems,
  type TerminalStyle,
  wordRefusal,
  wordSetting,
  wordStates,
} from '../../../report/report.js';
import { nearestName } from '../../../text/text.js';
import { deliver, refuse } from '../../deliver.js';
import { type ExitStatus, exitStatus } from '../../exit-status.js';
import type { Input } from '../../load.js';
import { stateFromOptions } from '../../state-option.js';
import { styleFor } from '../../terminal.js';
import type { World } from '../../world.js';
import { readAsk } from './ask.js';
import { type BenchSetting, changedSetting, settingHelp, settingOf, untouched } from './bench-setting.js';
import { type ExerciseOptions, type KeptSession, refuseEnded, withSession } from './session.js';
import { readParts } from './verdict.js';

export interface TryOptions extends ExerciseOptions {
  /** Lines in place of typing them. */
  readonly do: readonly string[];
}

/** Words of the bench that do something. */
const doingHelp: readonly (readonly [line: string, does: string])[] = [
  ['read', 'what the meter shows'],
  ['swap TF', 'exchange a part, and try it'],
  ['answer TF', 'or answer TF:open: what it is; that ends it'],
  ['complaint', 'what the customer said'],
  ['look', 'what is set, and where the leads are'],
  ['history', 'everything done so far'],
  ['undo', 'what was set last, back as it was'],
  ['help', 'this list'],
  ['quit', 'leave; what is recorded is kept'],
];

export async function runPracticeTry(world: World, path: string, options: TryOptions): Promise<ExitStatus> {
  if (options.do.length === 0 && !world.inIsTerminal)
    return refuse(
      world,
      'the bench asks what to do, and standard input is no terminal.',
      "Give the lines: --do 'state bake' --do read, or use practice measure.",
    );
  return withSession(world, path, 'practice try', options, async (kept, inputs) => {
    if (kept.session.ended === 'answered') return refuseEnded(world, kept.session, options.record);
    const bench = new Workplace(world, options, kept);
    return bench.run(inputs);
  });
}

/** What is left to do after a line. */
type After = 'on' | 'end' | 'failed';

/** One learner at the bench: what is set, what was set before, and what was printed. */
class Workplace {
  private readonly world: World;
  private readonly options: TryOptions;
  private readonly kept: KeptSession;
  private readonly circuit: Circuit;
  private readonly style: TerminalStyle;
  private setting = untouched;
  private readonly before: BenchSetting[] = [];

  constructor(world: World, options: TryOptions, kept: KeptSession) {
    this.world = world;
    this.options = options;
    this.kept = kept;
    this.circuit = kept.loaded.exercise.circuit;
    this.style = styleFor(world, 'out', options);
  }

  async run(inputs: readonly Input[]): Promise<ExitStatus> {
    const { options } = this;
    this.tell(openingText(this.circuit, this.kept.loaded.raw.complaint, this.style));
    const last = options.do.length > 0 ? await this.follow(options.do) : await this.converse();
    if (options.format === 'json' || options.output !== undefined) await this.deliverAll(inputs);
    if (last === 'failed') return exitStatus.unusable;
    return this.right() === false ? exitStatus.found : exitStatus.agrees;
  }

  private async follow(lines: readonly string[]): Promise<After> {
    let after: After = 'on';
    for (const line of lines) {
      this.tell(`> ${asciiOnly(line)}\n`);
      after = await this.line(line);
      if (after !== 'on') break;
    }
    return after;
  }

  private async converse(): Promise<After> {
    const names = [
      ...this.circuit.nodeByName.keys(),
      ...this.circuit.parts.keys(),
      ...this.circuit.states.keys(),
    ];
    const words = [...settingHelp, ...doingHelp].map(([line]) => line.split(' ')[0] ?? '');
    const all = [...new Set([...words, ...names])];
    const talk = await this.world.converse((begun) => all.filter((each) => each.startsWith(begun)));
    this.tell('What now? help lists what can be done.\n');
    try {
      for (;;) {
        const line = await talk.ask('> ');
        if (line === undefined || (await this.line(line)) === 'end') return 'end';
      }
    } finally {
      talk.end();
    }
  }

  /** A line that can't be done is told, and changes nothing. */
  private async line(typed: string): Promise<After> {
    const line = typed.trim().replace(/\s+/g, ' ');
    if (line === '') return 'on';
    const [word = '', ...rest] = line.split(' ');
    const what = rest.join(' ');
    switch (word) {
      case 'quit':
      case 'exit':
        return 'end';
      case 'help':
        return this.said(benchHelp(this.circuit, [...settingHelp, ...doingHelp], this.style));
      case 'look':
        return this.look();
      case 'complaint':
        return this.said(openingText(this.circuit, this.kept.loaded.raw.complaint, this.style));
      case 'history':
        return this.said(historyTable(this.circuit, this.kept.session.acts, this.style));
      case 'undo':
        return this.undo();
      case 'read':
        return this.read();
      case 'swap':
        return this.swap(what);
      case 'answer':
        return this.answer(what);
      default:
        return this.set(line, word);
    }
  }

  private set(line: string, word: string): After {
    const changed = changedSetting(this.setting, line);
    if (changed === undefined) {
      const words = [...settingHelp, ...doingHelp].map(([each]) => each.split(' ')[0] ?? '');
      const known = [...settingHelp, ...doingHelp].find(([each]) => each.split(' ')[0] === word);
      const nearest = nearestName(word, words);
      if (known !== undefined) {
        const names = word === 'state' || word === 'set' ? wordStates(this.circuit) : undefined;
        refuse(this.world, `${word} is said like this: ${known[0]}.`, names);
      } else
        refuse(
          this.world,
          `${asciiOnly(word)} is nothing to be done here.${nearest === undefined ? '' : ` Did you mean ${nearest}?`}`,
          'help lists what can be done.',
        );
      return 'failed';
    }
    if (this.stateOf(changed) === undefined || !this.knows(changed)) return 'failed';
    this.before.push(this.setting);
    this.setting = changed;
    return this.look();
  }

  /** The state that is set; undefined, and told, where it is none. */
  private stateOf(setting: BenchSetting): State | undefined {
    const { state, problems } = stateFromOptions(this.circuit, settingOf(setting).state);
    if (problems.length === 0) return state;
    this.world.err(`${showProblems(problems, 0, styleFor(this.world, 'err', this.options))}\n`);
    return undefined;
  }

  /** Leads and clamp are tried at once, so that a slip is told when it is made. */
  private knows({ red, black, on }: BenchSetting): boolean {
    const { nodeByName, parts } = this.circuit;
    for (const [name, known] of [
      [red, nodeByName],
      [black, nodeByName],
      [on, parts],
    ] as const) {
      if (name === undefined || known.has(name)) continue;
      const nearest = nearestName(name, [...known.keys()]);
      refuse(
        this.world,
        `${asciiOnly(name)} is no place of this circuit.${nearest === undefined ? '' : ` Did you mean ${nearest}?`}`,
      );
      return false;
    }
    return true;
  }

  private look(): After {
    const state = this.stateOf(this.setting);
    return state === undefined ? 'failed' : this.said(wordSetting(state, this.setting, this.style));
  }

  private undo(): After {
    const back = this.before.pop();
    if (back === undefined) {
      refuse(this.world, 'nothing was set that could be put back.', 'Readings stay: they were taken.');
      return 'failed';
    }
    this.setting = back;
    return this.look();
  }

  private async read(): Promise<After> {
    const { session } = this.kept;
    if (this.isOver()) return 'failed';
    const ask = readAsk(
      this.world,
      this.circuit,
      settingOf(this.setting),
      (what) => `${what} NODE puts it there.`,
    );
    if (ask.kind !== 'ask') return 'failed';
    const act = session.measure(ask.ask);
    await this.kept.keep(act);
    if (act.kind === 'refused') {
      const { headline, help } = wordRefusal(act.why);
      refuse(this.world, headline, help);
      return 'on';
    }
    return this.said(actTable(this.circuit, act, this.tally(), this.style));
  }

  private async swap(what: string): Promise<After> {
    if (this.isOver()) return 'failed';
    const [part] = readParts(this.world, this.circuit, [what])?.parts ?? [];
    if (part === undefined) return 'failed';
    const act = this.kept.session.swap(part);
    await this.kept.keep(act);
    return this.said(actTable(this.circuit, act, this.tally(), this.style));
  }

  private async answer(what: string): Promise<After> {
    const whole = what.split(/ or |,/).map((each) => each.trim());
    const read = readParts(this.world, this.circuit, whole);
    if (read === undefined) return 'failed';
    const act = this.kept.session.answer(read.parts, read.mode);
    await this.kept.keep(act);
    this.tell(answerTable(this.circuit, act, this.right(), this.style));
    return 'end';
  }

  private isOver(): boolean {
    const { session } = this.kept;
    if (session.ended === undefined) return false;
    refuseEnded(this.world, session, this.options.record);
    return true;
  }

  /** Undefined where it was not said, or where a passphrase keeps it for the trainer. */
  private right(): boolean | undefined {
    const { loaded, session } = this.kept;
    const act = session.acts.find((each) => each.kind === 'answer');
    if (act === undefined || loaded.raw.sealed.passphrase === 'yes') return undefined;
    return faultParts(loaded.fault).some((part) => act.parts.includes(part));
  }

  private tally() {
    const { session, kept } = this.kept;
    return { readings: session.job.readings.length, minutes: session.minutes, kept };
  }

  private said(text: string): After {
    this.tell(text);
    return 'on';
  }

  /** In JSON the one document on standard output comes at the end. */
  private tell(text: string): void {
    const shown = this.style.ascii ? asciiOnly(text) : text;
    if (this.options.format === 'json') this.world.err(shown);
    else this.world.out(shown);
  }

  private async deliverAll(inputs: readonly Input[]): Promise<void> {
    const { acts } = this.kept.session;
    await deliver(this.world, this.options, 'practice try', inputs, {
      table: (style) => historyTable(this.circuit, acts, style),
      json: () => ({
        acts: acts.map((act) => actJson(this.circuit, act)),
        right: this.right() ?? null,
        taken: this.tally().readings,
        minutes: this.tally().minutes,
        cautions,
      }),
    });
  }
}
