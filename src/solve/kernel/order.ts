/**
 * Fill-reducing elimination order: minimum degree on the quotient graph.
 *
 *   eliminating node k joins all its neighbours L(k) to one another; the clique is kept as one element k
 *   degree(i) <= |A(i)| + |L(k) \ i| + sum over elements e of i, e != k, of |L(e) \ L(k)|
 *
 * A(i) are the plain neighbours of i that no element covers. The bound on the degree is that of Amestoy,
 * Davis and Duff (SIAM J. Matrix Anal. Appl. 17, 1996; from memory).
 */

/** Neighbour lists: those of node i are neighbours[start[i]] up to neighbours[start[i + 1]], each once, never i. */
export interface Graph {
  readonly start: Int32Array;
  readonly neighbours: Int32Array;
}

/** Common practice: a node with more than this many times the square root of n neighbours is a hub. */
const hubFactor = 10;
const smallestHub = 16;

/**
 * Nodes in the order in which to eliminate them. Hubs (a common neutral with thousands of connections) come last:
 * each elimination beside one would scan its whole list. Ties go to the node touched last, so the order is
 * determined by the graph alone.
 */
export function eliminationOrder(graph: Graph): Int32Array {
  const nodeCount = graph.start.length - 1;
  const threshold = Math.max(smallestHub, hubFactor * Math.sqrt(nodeCount));
  const degreeOf = (node: number): number => graph.start[node + 1]! - graph.start[node]!;
  const hubs: number[] = [];
  for (let i = 0; i < nodeCount; i += 1) if (degreeOf(i) > threshold) hubs.push(i);
  hubs.sort((a, b) => degreeOf(a) - degreeOf(b) || a - b);

  const order = new Int32Array(nodeCount);
  const remaining = nodeCount - hubs.length;
  new QuotientGraph(graph, hubs).eliminateAll(order, remaining);
  order.set(hubs, remaining);
  return order;
}

/** The shrinking graph. A node's list holds its elements in front and its plain neighbours at the back, a gap between. */
class QuotientGraph {
  private readonly lists: Int32Array;
  private readonly listStart: Int32Array;
  private readonly elementEnd: Int32Array;
  private readonly plainStart: Int32Array;
  private readonly listEnd: Int32Array;
  /** Members of element k: members[memberStart[k]] up to members[memberEnd[k]]; an absorbed element is empty. */
  private members: Int32Array;
  private used = 0;
  private readonly memberStart: Int32Array;
  private readonly memberEnd: Int32Array;
  /** |L(e) \ L(k)| of the elements met in step k, valid where outsideStep is k's step. */
  private readonly outside: Int32Array;
  private readonly outsideStep: Int32Array;
  private readonly inPivot: Int32Array;
  private readonly degrees: DegreeLists;

  constructor(graph: Graph, hubs: readonly number[]) {
    const n = graph.start.length - 1;
    const isHub = new Uint8Array(n);
    for (const hub of hubs) isHub[hub] = 1;
    this.lists = graph.neighbours.slice();
    this.listStart = graph.start.slice(0, n);
    this.elementEnd = this.listStart.slice();
    this.plainStart = this.listStart.slice();
    this.listEnd = new Int32Array(n);
    this.members = new Int32Array(2 * graph.neighbours.length + n);
    this.memberStart = new Int32Array(n);
    this.memberEnd = new Int32Array(n);
    this.outside = new Int32Array(n);
    this.outsideStep = new Int32Array(n).fill(-1);
    this.inPivot = new Int32Array(n).fill(-1);
    this.degrees = new DegreeLists(n);
    for (let i = 0; i < n; i += 1) {
      let end = graph.start[i]!;
      for (let at = graph.start[i]!; at < graph.start[i + 1]!; at += 1) {
        const neighbour = graph.neighbours[at]!;
        if (isHub[neighbour] === 0) this.lists[end++] = neighbour;
      }
      this.listEnd[i] = end;
      if (isHub[i] === 0) this.degrees.insert(i, end - graph.start[i]!);
    }
  }

  eliminateAll(order: Int32Array, count: number): void {
    for (let step = 0; step < count; step += 1) {
      const pivot = this.degrees.takeLeast();
      order[step] = pivot;
      this.formElement(pivot, step);
      this.measureOutside(pivot, step);
      for (let at = this.memberStart[pivot]!; at < this.memberEnd[pivot]!; at += 1) {
        this.update(this.members[at]!, pivot, step, count - step - 1);
      }
    }
  }

  /** L(k) = A(k) and the members of k's elements, less k itself. Those elements are absorbed: k covers them. */
  private formElement(pivot: number, step: number): void {
    const { lists, inPivot, memberStart, memberEnd } = this;
    let bound = this.listEnd[pivot]! - this.plainStart[pivot]!;
    for (let at = this.listStart[pivot]!; at < this.elementEnd[pivot]!; at += 1) {
      bound += memberEnd[lists[at]!]! - memberStart[lists[at]!]!;
    }
    const members = this.roomFor(bound);
    let end = this.used;
    inPivot[pivot] = step;
    for (let at = this.listStart[pivot]!; at < this.elementEnd[pivot]!; at += 1) {
      const element = lists[at]!;
      for (let m = memberStart[element]!; m < memberEnd[element]!; m += 1) {
        const node = members[m]!;
        if (inPivot[node] === step) continue;
        inPivot[node] = step;
        members[end++] = node;
      }
      memberEnd[element] = memberStart[element]!;
    }
    for (let at = this.plainStart[pivot]!; at < this.listEnd[pivot]!; at += 1) {
      const node = lists[at]!;
      if (inPivot[node] === step) continue;
      inPivot[node] = step;
      members[end++] = node;
    }
    memberStart[pivot] = this.used;
    memberEnd[pivot] = end;
    this.used = end;
  }

  private measureOutside(pivot: number, step: number): void {
    const { lists, members, memberStart, memberEnd, outside, outsideStep } = this;
    for (let m = memberStart[pivot]!; m < memberEnd[pivot]!; m += 1) {
      const node = members[m]!;
      for (let at = this.listStart[node]!; at < this.elementEnd[node]!; at += 1) {
        const element = lists[at]!;
        if (outsideStep[element] !== step) {
          outsideStep[element] = step;
          outside[element] = memberEnd[element]! - memberStart[element]!;
        }
        outside[element]! -= 1;
      }
    }
  }

  /** Puts the new element on a member's list and drops from it what the element covers. */
  private update(node: number, pivot: number, step: number, left: number): void {
    const { lists, outside, inPivot } = this;
    const reach = this.memberEnd[pivot]! - this.memberStart[pivot]! - 1;
    const end = this.listEnd[node]!;
    let plain = end;
    for (let at = end - 1; at >= this.plainStart[node]!; at -= 1) {
      const neighbour = lists[at]!;
      if (inPivot[neighbour] !== step) lists[--plain] = neighbour;
    }
    let elementEnd = this.listStart[node]!;
    let degree = end - plain + reach;
    for (let at = this.listStart[node]!; at < this.elementEnd[node]!; at += 1) {
      const element = lists[at]!;
      // An element with nothing outside L(k) is covered by k: dropped, as an absorbed one is.
      if (outside[element]! <= 0) continue;
      degree += outside[element]!;
      lists[elementEnd++] = element;
    }
    // There is room: the list lost k itself, or the absorbed element through which it met k.
    lists[elementEnd++] = pivot;
    this.elementEnd[node] = elementEnd;
    this.plainStart[node] = plain;
    const before = this.degrees.remove(node);
    this.degrees.insert(node, Math.min(degree, before + reach, left - 1));
  }

  private roomFor(count: number): Int32Array {
    if (this.used + count > this.members.length) {
      const larger = new Int32Array(Math.max(2 * this.members.length, this.used + count));
      larger.set(this.members);
      this.members = larger;
    }
    return this.members;
  }
}

/** Nodes by degree: one doubly linked list a degree. */
class DegreeLists {
  private readonly head: Int32Array;
  private readonly next: Int32Array;
  private readonly previous: Int32Array;
  private readonly degree: Int32Array;
  private least = 0;

  constructor(n: number) {
    this.head = new Int32Array(n + 1).fill(-1);
    this.next = new Int32Array(n);
    this.previous = new Int32Array(n);
    this.degree = new Int32Array(n);
  }

  insert(node: number, degree: number): void {
    const first = this.head[degree]!;
    this.next[node] = first;
    this.previous[node] = -1;
    if (first !== -1) this.previous[first] = node;
    this.head[degree] = node;
    this.degree[node] = degree;
    if (degree < this.least) this.least = degree;
  }

  /** Takes a node out and gives the degree it had. */
  remove(node: number): number {
    const degree = this.degree[node]!;
    const next = this.next[node]!;
    const previous = this.previous[node]!;
    if (next !== -1) this.previous[next] = previous;
    if (previous === -1) this.head[degree] = next;
    else this.next[previous] = next;
    return degree;
  }

  takeLeast(): number {
    while (this.head[this.least] === -1) this.least += 1;
    const node = this.head[this.least]!;
    this.remove(node);
    return node;
  }
}
