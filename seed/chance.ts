const ID_SIGNS = [...'abcdefghijkmnopqrstuvwxyz0123456789']

/** Chance that falls the same way every time: the example valley must be the same for everyone (mulberry32, public domain). */
export class Chance {
  private state: number

  constructor(seed: number) {
    this.state = seed
  }

  /** A number from 0 up to 1. */
  next(): number {
    this.state = (this.state + 0x6d2b79f5) | 0
    let mixed = Math.imul(this.state ^ (this.state >>> 15), 1 | this.state)
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.next()
  }

  happens(chance: number): boolean {
    return this.next() < chance
  }

  /** An id like any other in the book, but the same each time. */
  id(): string {
    return Array.from({ length: 16 }, () => this.pick(ID_SIGNS)).join('')
  }

  pick<T>(list: readonly T[]): T {
    return list[Math.floor(this.next() * list.length)]!
  }
}
