import { waitSeconds } from '../../../domain/people/slow-down.ts'
import { PageError } from '../../web/pages/errors.ts'

export const REMEMBERED_MS = 900_000
/** Of each kind; beyond it the one missed longest ago is forgotten. Own choice, no source. */
const MOST_KEYS = 5_000
const MOST_IN_LINE = 5

interface Try {
  name: string
  /** The device, where it was let in under this name before; else the address. */
  from: string
  address: string
  at: Date
}

/** Misses since the last success, forgotten after a while. */
class Misses {
  private readonly times = new Map<string, number[]>()

  count(key: string, at: Date): number {
    const recent = (this.times.get(key) ?? []).filter((time) => at.getTime() - time < REMEMBERED_MS)
    if (recent.length === 0) this.times.delete(key)
    else this.times.set(key, recent)
    return recent.length
  }

  add(key: string, at: Date): void {
    const recent = this.times.get(key) ?? []
    this.times.delete(key)
    this.times.set(key, [...recent.slice(-200), at.getTime()])
    for (const oldest of this.times.keys()) {
      if (this.times.size <= MOST_KEYS) break
      this.times.delete(oldest)
    }
  }

  forget(key: string): void {
    this.times.delete(key)
  }
}

/**
 * Slows guessing at the door: the tries of one name from one device come one after the other and wait longer with every miss. The
 * right password goes through after that wait. Others at the same address have lines of their own.
 */
export class SlowDown {
  private readonly together = new Misses()
  private readonly ofName = new Misses()
  private readonly fromAddress = new Misses()
  private readonly lines = new Map<string, { last: Promise<unknown>; length: number }>()
  private readonly wait: (seconds: number) => Promise<void>

  constructor(wait: (seconds: number) => Promise<void>) {
    this.wait = wait
  }

  /** Takes up what the door saw before the program was started anew: a new start frees nobody who guesses. */
  takeUp(seen: readonly { name: string; address: string; at: Date; fits: boolean }[]): void {
    for (const { name, address, at, fits } of seen) this.count({ name, from: address, address, at }, fits)
  }

  /** Does the try in its turn. Throws PageError 429 where so many of the same name from the same place wait already. */
  async inLine(one: Try, attempt: () => Promise<boolean>): Promise<boolean> {
    const key = keyOf(one)
    const line = this.lines.get(key) ?? { last: Promise.resolve(), length: 0 }
    if (line.length >= MOST_IN_LINE) throw new PageError(429, 'error.tried-too-often')
    line.length += 1
    this.lines.set(key, line)
    const done = line.last.then(() => this.slowly(one, attempt))
    line.last = done.catch(() => {})
    try {
      return await done
    } finally {
      line.length -= 1
      if (line.length === 0) this.lines.delete(key)
    }
  }

  private async slowly(one: Try, attempt: () => Promise<boolean>): Promise<boolean> {
    const { name, address, at } = one
    const seconds = waitSeconds({
      together: this.together.count(keyOf(one), at),
      // A device that was let in before is nobody else's: what others miss does not slow it.
      ofName: one.from === address ? this.ofName.count(name, at) : 0,
      fromAddress: one.from === address ? this.fromAddress.count(address, at) : 0,
    })
    if (seconds > 0) await this.wait(seconds)
    const fits = await attempt()
    this.count(one, fits)
    return fits
  }

  private count(one: Try, fits: boolean): void {
    const { name, address, at } = one
    if (fits) {
      this.together.forget(keyOf(one))
      return
    }
    // Of an address it counts how many names were missed there, so that one who mistypes slows nobody else of the meeting.
    if (this.together.count(keyOf(one), at) === 0) this.fromAddress.add(address, at)
    this.together.add(keyOf(one), at)
    this.ofName.add(name, at)
  }
}

function keyOf({ name, from }: Try): string {
  return `${name}\n${from}`
}
