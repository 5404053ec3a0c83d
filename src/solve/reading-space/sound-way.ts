import type { Laid } from './laid-fault.js';
import type { OnBits } from './sensed.js';
import type { ReadingSpace } from './space.js';
import type { Stage } from './stage.js';
import { StillNetwork } from './still-network.js';

/** A network that was met: which actuators are on in it, which it then switches on, and what comes of it. */
export interface Step {
  readonly stage: Stage;
  readonly on: OnBits;
  next: OnBits;
  outcome: 'moves' | 'steady' | 'overloads' | 'shorts' | 'blows' | 'unknown';
}

/** The networks that the circuit goes through without a fault. A fault that moves nothing in one goes on from it as they do. */
export class SoundWay {
  private readonly met: { readonly step: Step; readonly still: StillNetwork }[] = [];
  private readonly watched: number;

  /** `watched`: as many pairs, the first ones of every space, are those that actuators and limits look at. */
  constructor(watched: number) {
    this.watched = watched;
  }

  note(step: Step, space: ReadingSpace): void {
    if (this.find(step.stage, step.on) === undefined)
      this.met.push({ step, still: new StillNetwork(space, this.watched) });
  }

  /** What comes next with a fault as it does without, where that is plain. */
  stillStep(stage: Stage, on: OnBits, own: Laid): Step | undefined {
    const found = this.find(stage, on);
    if (found === undefined || own.held !== 0) return undefined;
    const { step, still } = found;
    if (step.outcome !== 'moves' && step.outcome !== 'steady') return undefined;
    return still.keeps(own, stage.takenAway) && still.shorts(stage) === 'no' ? step : undefined;
  }

  private find(stage: Stage, on: OnBits) {
    return this.met.find(({ step }) => step.on === on && step.stage === stage);
  }
}
