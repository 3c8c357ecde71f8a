import type { Database } from './database/connection.ts'
import type { Locale } from './web/figures/locale.ts'

/** What the app is built from; tests hand over their own book, clock and cheaper password hashing. */
export interface Parts {
  db: Database
  now: () => Date
  /** Printed in the terminal; whoever starts a book must type it. */
  claimCode: string
  hashing?: { memoryCost: number; timeCost: number }
  log?: boolean
  /** The words of all pages; English unless told. */
  locale?: Locale
}
