import type { Circuit } from '../../circuit/circuit.js';
import { pathsToPair, type SupplyPath, type View } from '../../solve/solve.js';
import { outputsOn, type TraceAnswer } from '../trace.js';

/** A way that is walked from where the supply comes in to a place the load needs. */
export interface Stretch {
  /** One side of the load's supply, or of a transformer it hangs on; or a signal that closes an output on the way. */
  readonly what: 'line' | 'neutral' | 'signal';
  /** Of a transformer's own feed, its name; of a signal, the output or relay that needs it. */
  readonly serves?: string;
  /** Of a signal, its input. */
  readonly input?: string;
  readonly end: number;
  readonly path: SupplyPath;
}

/** Signals behind signals behind signals: more than any appliance has. */
const mostSignals = 40;

/**
 * The stretches in walking order: what is nearest the supply first (a transformer's feed before what hangs on it), line
 * side before neutral side, and then the signals of every output on the way, each output once.
 */
export function stretchesOf(circuit: Circuit, { sides, load }: TraceAnswer, view: View): readonly Stretch[] {
  const feeds = sides.filter(({ feeds: fed }) => fed !== undefined).reverse();
  const own = sides.filter(({ feeds: fed }) => fed === undefined);
  const walked = [...liveFirst(feeds), ...own].flatMap(
    ({ what, feeds: fed, input, end, path }): Stretch[] => {
      if (path === undefined) return [];
      if (what === 'signal')
        return [{ what, serves: load.name, ...(input === undefined ? {} : { input }), end, path }];
      return [
        { what: path.live ? 'line' : 'neutral', ...(fed === undefined ? {} : { serves: fed }), end, path },
      ];
    },
  );
  return [...walked, ...signalsOf(circuit, walked, view)];
}

/** Reversed as a whole, each feed has its neutral side first. */
function liveFirst<Side extends { readonly feeds?: string; readonly path: SupplyPath | undefined }>(
  sides: readonly Side[],
): readonly Side[] {
  const order = [...new Set(sides.map(({ feeds }) => feeds))];
  return [...sides].sort(
    (a, b) =>
      order.indexOf(a.feeds) - order.indexOf(b.feeds) ||
      Number(b.path?.live ?? false) - Number(a.path?.live ?? false),
  );
}

function signalsOf(circuit: Circuit, walked: readonly Stretch[], view: View): Stretch[] {
  const met = new Set<string>();
  const found: Stretch[] = [];
  for (let at: readonly Stretch[] = walked; at.length > 0 && found.length < mostSignals; ) {
    const next: Stretch[] = [];
    for (const { output, inputs } of outputsOn(circuit, at, view)) {
      if (met.has(output)) continue;
      met.add(output);
      for (const { name: input, node, other } of inputs) {
        const { a, b } = pathsToPair(view, node, other);
        if (a !== undefined) next.push({ what: 'signal', serves: output, input, end: node, path: a });
        // A coil has two sides that may be switched; what signals are held against is on the supply's own zero.
        if (b !== undefined && input === 'coil')
          next.push({ what: 'signal', serves: output, input, end: other, path: b });
      }
    }
    found.push(...next);
    at = next;
  }
  return found;
}
