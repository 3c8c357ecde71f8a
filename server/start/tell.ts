import { statfsSync } from 'node:fs'
import { networkInterfaces } from 'node:os'
import { dirname, resolve } from 'node:path'
import { listSeals } from '../book/check/seal.ts'
import { readClock } from '../book/clock.ts'
import { endOfBook, findHash } from '../book/verify.ts'
import { optionOf } from '../database/command.ts'
import type { Database } from '../database/connection.ts'
import type { Settings } from '../settings.ts'
import { isPostgresAddress } from '../settings.ts'
import type { Translate } from '../web/figures/locale.ts'
import { isOwnMachine, phoneAddresses } from '../web/phones.ts'

/** So little room is said at the start: some weeks of writing and a copy of the book. Own choice, no source. */
const LITTLE_ROOM_BYTES = 100_000_000

/** What whoever started the program is told of a book that was opened. */
export async function tellBook(db: Database, { place, t, say }: Telling): Promise<void> {
  const { entries, lastHash, at } = await endOfBook(db)
  if (entries > 0) say(t('file.start.holds', { entries, at, hash: lastHash }))
  const [seal] = await listSeals(db)
  if (seal) say(t('file.start.seal', { at: seal.setAt, digits: seal.digits.match(/.{4}/g)!.join(' ') }))
  const noted = optionOf(process.argv, '--last')
  if (noted !== null) {
    const found = await findHash(db, noted)
    const later = found.at === 'here' ? found.later : 0
    const [entry, written] = found.at === 'nowhere' ? ['', ''] : [String(found.entry), found.writtenAt]
    say(t(`file.noted-${found.at}`, { noted, entry, at: written, later }))
  }
  const { doubt, lastAt } = await readClock(db, new Date())
  if (doubt) say(t(`file.start.clock-${doubt}`, { last: lastAt!, now: new Date().toISOString() }))
  if (isPostgresAddress(place)) return
  const { bavail, bsize } = statfsSync(dirname(resolve(place)))
  if (bavail * bsize < LITTLE_ROOM_BYTES)
    say(t('file.start.little-room', { megabytes: Math.floor((bavail * bsize) / 1_000_000) }))
}

interface Telling {
  place: string
  t: Translate
  say(sentence: string): void
}

/** Says where phones find it now, or why they do not, and again whenever the machine has joined or left a network. */
export function tellPhones(settings: Settings, t: Translate): void {
  const phones = phonesOf(settings)
  const closed = isOwnMachine(settings.HOST) && !settings.BEHIND_TLS ? 'file.start.no-phones' : 'file.start.no-network'
  let told = ''
  const tell = () => {
    const urls = phones().join('  ')
    const words = urls === '' ? t(closed) : t('file.start.phones', { urls })
    if (words !== told) console.log(words)
    told = words
  }
  tell()
  setInterval(tell, LOOK_FOR_NETWORK_MS).unref()
}

const LOOK_FOR_NETWORK_MS = 5_000

/** Under which addresses phones reach the program at the moment of asking. */
export function phonesOf(settings: Settings): () => string[] {
  return () => phoneAddresses(settings, networkInterfaces())
}
