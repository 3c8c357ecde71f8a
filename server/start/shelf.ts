/** A book as the shelf holds it: what is open, and how it is closed. */
interface Open {
  close(): Promise<void>
}

interface Place<Book extends Open> {
  book: Promise<Book>
  using: number
  lastAt: number
}

/** An open book costs some 15 to 20 MB, so that these stay under a gigabyte (docs/performance.md). */
const MOST_OPEN = 30
/** Nobody reads on after so long. Own choice, no source. */
const IDLE_MS = 20 * 60_000

/**
 * Many books of which only those are open that somebody uses: one is opened when it is first asked for, and closed when nobody has
 * asked for long, or when others need its place. A book that is just being closed is waited for before it is opened again.
 */
export class Shelf<Book extends Open> {
  private readonly places = new Map<string, Place<Book>>()
  private readonly closing = new Map<string, Promise<void>>()
  private readonly open: (name: string) => Promise<Book>
  private readonly mostOpen: number

  constructor(open: (name: string) => Promise<Book>, mostOpen = MOST_OPEN) {
    this.open = open
    this.mostOpen = mostOpen
  }

  has(name: string): boolean {
    return this.places.has(name)
  }

  /** Takes a book down for one request; it stays open at least until `done`. What stops its opening is thrown. */
  async take(name: string): Promise<{ book: Book; done(): void }> {
    const place = this.places.get(name) ?? this.put(name)
    place.using += 1
    const done = () => {
      place.using -= 1
      place.lastAt = Date.now()
    }
    try {
      return { book: await place.book, done }
    } catch (error) {
      done()
      if (this.places.get(name) === place) this.places.delete(name)
      throw error
    }
  }

  /** Closes what nobody has used for long. */
  async closeIdle(now = Date.now()): Promise<void> {
    const idle = [...this.places].filter(([, { using, lastAt }]) => using === 0 && now - lastAt >= IDLE_MS)
    await Promise.all(idle.map(([name]) => this.close(name)))
  }

  async closeAll(): Promise<void> {
    await Promise.all([...this.places.keys()].map((name) => this.close(name)))
    await Promise.all(this.closing.values())
  }

  private put(name: string): Place<Book> {
    const room = this.places.size >= this.mostOpen ? this.closeOldest() : Promise.resolve()
    const book = room.then(() => this.closing.get(name)).then(() => this.open(name))
    const place = { book, using: 0, lastAt: Date.now() }
    this.places.set(name, place)
    return place
  }

  /** Where every book is in use, one more is opened all the same. */
  private async closeOldest(): Promise<void> {
    const free = [...this.places].filter(([, { using }]) => using === 0)
    const [oldest] = free.toSorted(([, a], [, b]) => a.lastAt - b.lastAt)
    if (oldest) await this.close(oldest[0])
  }

  private close(name: string): Promise<void> {
    const place = this.places.get(name)
    this.places.delete(name)
    const closed = (async () => {
      const book = await place?.book.catch(() => undefined)
      await book?.close()
    })().finally(() => this.closing.delete(name))
    this.closing.set(name, closed)
    return closed
  }
}
