import { scryptSync } from 'node:crypto'
import { sql } from 'kysely'
import { beforeAll, describe, expect, it } from 'vitest'
import { inspectBook } from '../../../server/book/check/inspect.ts'
import { findSeal, listSeals, setSeal } from '../../../server/book/check/seal.ts'
import { appendWhole, readBook } from '../../../server/book/merge/whole-entry.ts'
import type { Database } from '../../../server/database/connection.ts'
import { openEmpty } from '../../support/book.ts'
import { openValley } from '../../support/valley.ts'
import type { Seen } from '../../support/visitor.ts'

const digitsOn = (page: Seen) => page.html.querySelector('.seal')!.text.replace(/\D/g, '')

let valley: Awaited<ReturnType<typeof openValley>>
let digits: string
beforeAll(async () => {
  valley = await openValley()
})

/** The same book with one draw a litre less, written anew from its first entry to its last: every hash fits. */
async function writtenAnew(db: Database): Promise<Database> {
  const book = await readBook(db)
  const anew = await openEmpty()
  await anew.transaction().execute(async (trx) => {
    await sql`pragma defer_foreign_keys = on`.execute(trx)
    let changed = false
    for (const { entry, facts } of book) {
      const own = facts.map(([table, row]) => {
        if (changed || table !== 'abstraction' || row.method === 'meter') return [table, row] as const
        changed = true
        return [table, { ...row, volumeM3: Number(row.volumeM3) - 0.001 }] as const
      })
      await appendWhole(trx, { entry, facts: own })
    }
    expect(changed).toBe(true)
  })
  return anew
}

describe('the seal of a week', () => {
  it('is stretched as published: the third test of RFC 7914, section 12', () => {
    const bytes = scryptSync('pleaseletmein', 'SodiumChloride', 64, { N: 16384, r: 8, p: 1 })
    expect(bytes.toString('hex')).toMatch(/^7023bdcb3afd7348461c06cd81fd38eb/)
  })

  it('is set by an officer and named by another, shows eight groups of four, and stands on the first page', async () => {
    const amaru = await valley.signIn('amaru')
    const fanta = await valley.signIn('fanta')
    expect((await amaru.open('/')).words).toContain('Seal of the week: none was set yet')
    const page = await amaru.fill('/paper/seals', {}, { action: '/paper/seals' })
    digits = digitsOn(page)
    expect(digits).toHaveLength(32)
    expect(page.words).toContain('the second name is missing')
    expect((await fanta.open('/')).words).toContain('the seal of the week, set by Amaru')
    const id = (await listSeals(valley.db))[0]!.id
    const named = await fanta.fill('/paper/seals', {}, { action: `/book/names/${id}` })
    expect(named.words).toContain('Amaru Tolle, Fanta Brisk')
    expect((await amaru.open('/')).words).toContain('Seal of the week: last set 25 Nov 2026')
    expect((await (await valley.signIn('hila')).open('/paper/seals')).status).toBe(403)
  })

  it('is taken back by its digits, says what came after it, and no other digits are', async () => {
    const found = await findSeal(valley.db, digits.replace(/(.{4})/g, '$1 '))
    expect(found).toMatchObject({ later: 1, entries: found!.entries })
    expect(
      await findSeal(
        valley.db,
        digits.replace(/^./, (digit) => String((Number(digit) + 1) % 10)),
      ),
    ).toBeNull()
    expect((await inspectBook(valley.db)).faults).toEqual([])
  })

  it('shows a chain that was written anew from its beginning, which fits every hash', async () => {
    const anew = await writtenAnew(valley.db)
    expect((await inspectBook(anew)).faults.map(({ code }) => code)).toEqual(['seal'])
    // Whoever also sets the seal anew gets other digits than those on the board.
    const before = await readBook(anew)
    const sealed = before.findIndex(({ entry }) => entry.kind === 'week-seal')
    const cut = await openEmpty()
    await cut.transaction().execute(async (trx) => {
      await sql`pragma defer_foreign_keys = on`.execute(trx)
      for (const whole of before.slice(0, sealed)) await appendWhole(trx, whole)
      await setSeal({ trx, writtenBy: before[sealed]!.entry.writtenBy, writtenAt: before[sealed]!.entry.writtenAt })
    })
    expect((await inspectBook(cut)).faults).toEqual([])
    expect(await findSeal(cut, digits)).toBeNull()
    for (const db of [anew, cut]) await db.destroy()
  })
})
