import { dirname, join, resolve } from 'node:path'
import { bookIsEmpty } from '../../people/group/store.ts'
import type { Settings } from '../../settings.ts'
import { isPostgresAddress } from '../../settings.ts'
import type { Translate } from '../../web/figures/locale.ts'
import type { Database } from '../connection.ts'
import { type Copies, copyDaily } from './daily-copies.ts'

const LOOK_FOR_DAY_MS = 600_000

/** Where the copies of each day go, and of which book; null where none are wanted. */
export function copiesOf({ DATABASE, COPIES }: Settings): Copies | null {
  // Whoever keeps a server of PostgreSQL copies it in the server's own way.
  if (COPIES === 'no' || isPostgresAddress(DATABASE)) return null
  return { folder: COPIES ?? join(dirname(resolve(DATABASE)), 'copies'), place: DATABASE }
}

/** The copy of the day, now and whenever a new day has begun, until it is stopped; where it fails, the book goes on and says so. */
export function keepCopies(db: Database, settings: Settings, { t, say }: Telling): () => void {
  const copies = copiesOf(settings)
  if (!copies) return () => {}
  const copy = async () => {
    try {
      if (await bookIsEmpty(db)) return
      const place = await copyDaily(db, copies, new Date())
      if (place) say(t('file.start.copied-today', { place }))
    } catch (error) {
      console.error(t('file.start.copy-failed', { cause: (error as Error).message }))
    }
  }
  void copy()
  const looking = setInterval(copy, LOOK_FOR_DAY_MS).unref()
  return () => clearInterval(looking)
}

interface Telling {
  t: Translate
  say(sentence: string): void
}
