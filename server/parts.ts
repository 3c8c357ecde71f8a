import type { FastifyRequest } from 'fastify'
import type { Database } from './database/connection.ts'
import type { Copies } from './database/file/daily-copies.ts'
import type { PeopleAsks } from './people/asks.ts'
import type { Practice } from './practice-beside.ts'
import type { RotationAsks } from './rotation/asks.ts'
import type { WaterAsks } from './water/asks.ts'
import type { Locale } from './web/figures/locale.ts'

/** What the app is built from; tests hand over their own book, clock and cheaper password hashing. */
export interface Given {
  db: Database
  now: () => Date
  /** Printed in the terminal; whoever starts a book must type it. */
  claimCode: string
  hashing?: { memoryCost: number; timeCost: number }
  log?: boolean
  /** The practice valley, where the program can open one beside the book. */
  practice?: Practice
  /** Under which addresses phones reach the book now; none unless told. */
  phones?: () => readonly string[]
  /** Where copies of each day are made, and of which book. */
  copies?: Copies | null
  /** How a try at the door waits; by the clock unless told. */
  wait?: (seconds: number) => Promise<void>
  /** The proxies whose word for the visitor's address is believed: addresses with commas between; nobody's unless told. */
  trustedProxy?: string
  /** Everything comes through a proxy that speaks TLS: cookies are sent by no other way. */
  isBehindTls?: boolean
  /** What stands before all addresses of this book, such as `/kijito`, where one program serves many. */
  prefix?: string
  /** Minutes without a page after which a sign-in on a device of one's own ends. */
  idleMinutes?: number
  /** The words of all pages; English unless told. */
  locale?: Locale
}

/** What every page can reach: what was given, and what a room asks of later ones, answered where the app is put together. */
export interface Parts extends Given {
  people: PeopleAsks
  water: WaterAsks
  rotation: RotationAsks
  /** Where a form that is sent again was answered the first time; null for a new one. */
  answeredBefore: (request: FastifyRequest) => Promise<string | null>
  /** Keeps what a form brought whose sender's sign-in ran out; false where nobody knows whose it was, or it is too much. */
  keepAside: (request: FastifyRequest) => Promise<boolean>
  /** Notes that somebody asked for what their roles do not open. */
  tellRefusal: (request: FastifyRequest) => Promise<void>
}
