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
}
