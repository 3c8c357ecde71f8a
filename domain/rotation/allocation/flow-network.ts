/**
 * Largest flow through a network of arcs with whole-number capacities, by blocking flows in layers.
 * Source: Dinitz 1970, Soviet Mathematics Doklady 11:1277-1280. Whole numbers of any size, so there is no rounding.
 * Opening an arc later and calling `pushFlow` again keeps what already reaches the sink.
 */
export class FlowNetwork {
  /** Arc 2k and its reverse 2k + 1; `room` is what can still be sent along each. */
  readonly room: bigint[] = []
  private readonly fixed = new Map<number, bigint>()
  private readonly heads: number[] = []
  private readonly arcsFrom: number[][]
  private readonly layer: Int32Array
  private readonly next: Int32Array
  private readonly queue: Int32Array

  constructor(nodeCount: number) {
    this.arcsFrom = Array.from({ length: nodeCount }, () => [])
    this.layer = new Int32Array(nodeCount)
    this.next = new Int32Array(nodeCount)
    this.queue = new Int32Array(nodeCount)
  }

  addArc(from: number, to: number, capacity: bigint): number {
    const arc = this.heads.length
    this.heads.push(to, from)
    this.room.push(capacity, 0n)
    this.arcsFrom[from]!.push(arc)
    this.arcsFrom[to]!.push(arc + 1)
    return arc
  }

  /** What flows along an arc now. */
  flowOn(arc: number): bigint {
    return (this.fixed.get(arc) ?? 0n) + this.room[arc + 1]!
  }

  /** Keeps what flows along the arc and lets nothing more pass, either way. */
  close(arc: number): void {
    this.fixed.set(arc, this.flowOn(arc))
    this.room[arc] = 0n
    this.room[arc + 1] = 0n
  }

  /** Adds to a closed arc what has been sent round from its head to its tail. */
  raiseClosed(arc: number, more: bigint): void {
    this.fixed.set(arc, this.flowOn(arc) + more)
  }

  /** Sends as much more as can be sent, at most `limit`, and returns how much that was. */
  pushFlow(source: number, sink: number, limit: bigint): bigint {
    let sent = 0n
    while (sent < limit && this.layOut(source, sink)) {
      this.next.fill(0)
      for (let more = this.send(source, sink, limit - sent); more > 0n; ) {
        sent += more
        more = this.send(source, sink, limit - sent)
      }
    }
    return sent
  }

  /** The nodes that one more drop from here could still reach: one side of a smallest cut after `pushFlow`. */
  reachableFrom(node: number): boolean[] {
    this.layOut(node, -1)
    return Array.from(this.layer, (layer) => layer >= 0)
  }

  private layOut(source: number, sink: number): boolean {
    const { layer, queue } = this
    layer.fill(-1)
    layer[source] = 0
    queue[0] = source
    let queued = 1
    for (let at = 0; at < queued && (sink < 0 || layer[sink]! < 0); at++) {
      const node = queue[at]!
      for (const arc of this.arcsFrom[node]!) {
        const head = this.heads[arc]!
        if (layer[head]! >= 0 || this.room[arc]! === 0n) continue
        layer[head] = layer[node]! + 1
        queue[queued++] = head
      }
    }
    return sink >= 0 && layer[sink]! >= 0
  }

  private send(node: number, sink: number, limit: bigint): bigint {
    if (node === sink || limit === 0n) return limit
    const arcs = this.arcsFrom[node]!
    for (; this.next[node]! < arcs.length; this.next[node]!++) {
      const arc = arcs[this.next[node]!]!
      const head = this.heads[arc]!
      const room = this.room[arc]!
      if (room === 0n || this.layer[head] !== this.layer[node]! + 1) continue
      const sent = this.send(head, sink, room < limit ? room : limit)
      if (sent === 0n) continue
      this.room[arc] = room - sent
      this.room[arc ^ 1] = this.room[arc ^ 1]! + sent
      return sent
    }
    return 0n
  }
}
