import { passwordsInChain } from '../book/check/apart.ts'
import { inspectBook } from '../book/check/inspect.ts'
import { findSeal, SEAL_DIGITS } from '../book/check/seal.ts'
import { outsideTheChain } from '../book/outside-chain.ts'
import { endOfBook, findHash } from '../book/verify.ts'
import { isPostgresAddress } from '../settings.ts'
import { type Command, optionOf, runCommand } from './command.ts'
import type { Database } from './connection.ts'
import { isMarkedInUse, logBeside, openBookFile } from './file/book-file.ts'
import { openPostgres } from './postgres/connection.ts'

await runCommand(async (command) => {
  const { say, fail, settings } = command
  const isThere = isPostgresAddress(settings.DATABASE)
  const db = isThere ? openPostgres(settings.DATABASE) : openBookFile(settings.DATABASE)
  const log = isThere ? 'whole' : logBeside(settings.DATABASE)
  if (!isThere && isMarkedInUse(settings.DATABASE) && log === 'none') fail('file.copied-open')
  if (log === 'cut') fail('file.log-cut')
  try {
    const { entries, faults } = await inspectBook(db)
    for (const { code, values } of faults) fail(`file.fault.${code}`, values)
    if (faults.length > 0) return
    if (entries === 0) return fail('file.nothing-written')
    say('file.whole', { entries })
    await tellWhole(db, command)
  } finally {
    await db.destroy()
  }
})

async function tellWhole(db: Database, { say, fail, t, words }: Command): Promise<void> {
  const { entries, at, lastHash } = await endOfBook(db)
  say('file.holds', { entries, at })
  for (const what of ['proves', 'proves-not', 'outside']) say(`file.${what}`)
  for (const { table, why } of await outsideTheChain(db))
    console.log(`  ${t('file.outside-line', { table, why: why ?? t('file.outside-unknown') })}`)
  const { inside, leftOut } = await passwordsInChain(db)
  if (inside > 0) say('file.passwords-inside', { count: inside })
  if (leftOut > 0) say('file.passwords-left-out', { count: leftOut })
  say('file.last-hash', { hash: lastHash })
  const noted = optionOf(words, '--last')
  if (noted !== null) await tellNoted(db, noted, { say, fail })
  const seal = optionOf(words, '--seal')
  if (seal !== null) await tellSeal(db, seal, { say, fail })
}

async function tellNoted(db: Database, noted: string, { say, fail }: Pick<Command, 'say' | 'fail'>): Promise<void> {
  const found = await findHash(db, noted)
  if (found.at === 'nowhere') return fail('file.noted-nowhere', { noted })
  const later = found.at === 'here' ? found.later : 0
  say(`file.noted-${found.at}`, { entry: String(found.entry), at: found.writtenAt, later })
}

async function tellSeal(db: Database, typed: string, { say, fail }: Pick<Command, 'say' | 'fail'>): Promise<void> {
  const digits = typed.replace(/\D/g, '')
  if (digits.length !== SEAL_DIGITS) return fail('file.seal-digits', { count: digits.length })
  const seal = await findSeal(db, digits)
  if (!seal) return fail('file.seal-nowhere')
  const { setterName, setAt, entries, later } = seal
  say('file.seal-here', { name: setterName, at: setAt, entries, later })
}
