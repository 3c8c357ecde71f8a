import '../runtime.ts'

import { inspectBook } from '../book/check/inspect.ts'
import { outsideTheChain } from '../book/outside-chain.ts'
import { endOfBook, findHash } from '../book/verify.ts'
import { readSettings } from '../settings.ts'
import { loadLocale } from '../web/figures/locale.ts'
import { type Database, openDatabase } from './connection.ts'

const settings = readSettings(process.env)
const { t } = loadLocale(settings.BOOK_LANGUAGE)
const at = process.argv.indexOf('--last')
const noted = at < 0 ? null : process.argv.slice(at + 1).join('')
const db = openDatabase(settings.DATABASE)
const { entries, faults } = await inspectBook(db)
for (const { code, values } of faults) console.error(t(`file.fault.${code}`, values))
if (faults.length > 0) process.exitCode = 1
else await tellWhole(db)
await db.destroy()

async function tellWhole(db: Database): Promise<void> {
  console.log(t('file.whole', { entries }))
  for (const what of ['proves', 'proves-not', 'outside']) console.log(t(`file.${what}`))
  for (const { table, why } of await outsideTheChain(db))
    console.log(`  ${t('file.outside-line', { table, why: why ?? t('file.outside-unknown') })}`)
  console.log(t('file.last-hash', { hash: (await endOfBook(db)).lastHash }))
  if (noted !== null) await tellNoted(db, noted)
}

async function tellNoted(db: Database, noted: string): Promise<void> {
  const found = await findHash(db, noted)
  if (found.at === 'nowhere') {
    console.error(t('file.noted-nowhere', { noted }))
    process.exitCode = 1
    return
  }
  const { entry, writtenAt } = found
  const later = found.at === 'here' ? found.later : 0
  console.log(t(`file.noted-${found.at}`, { entry: String(entry), at: writtenAt, later }))
}
