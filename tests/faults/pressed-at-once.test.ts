import { beforeAll, describe, expect, it } from 'vitest'
import { appendEntry, type Pen } from '../../server/book/entries.ts'
import { grantRelief, listReliefs, writeRelief } from '../../server/fees/arrears/relief-store.ts'
import { confirmFine, lapseFine, listFines, writeFine } from '../../server/fees/fine/store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { Rascal } from './nasty.ts'

let valley: Awaited<ReturnType<typeof openValley>>
const idOf = async (name: string) =>
  (await valley.db.selectFrom('person').select('entryId').where('signInName', '=', name).executeTakeFirstOrThrow())
    .entryId
/** Each press is a transaction of its own, made from what its page had read before either was pressed. */
const pressed = async <T>(name: string, work: (pen: Pen) => Promise<T>) => {
  const writtenBy = await idOf(name)
  return valley.db.transaction().execute((trx) => work({ trx, writtenBy, writtenAt: `${VALLEY_TODAY}T10:00:00.000Z` }))
}

beforeAll(async () => {
  valley = await openValley()
})

describe('two people who press at the same moment', () => {
  it('correct one reading once', async () => {
    const { entryId: correctsId } = await valley.db
      .selectFrom('levelReading')
      .select('entryId')
      .executeTakeFirstOrThrow()
    const strike = (pen: Pen) => appendEntry(pen, { kind: 'level-reading', correctsId, reason: 'read again' }, {})
    await pressed('dovi', strike)
    await expect(pressed('elu', strike)).rejects.toThrow('already-corrected')
    expect(await correctionsOf(correctsId)).toBe(1)
  })

  it('confirm a fine once, and take a lapsed one back once', async () => {
    const personId = await idOf('hila')
    const written = { personId, amountMinor: 500, rule: 'gate', fact: 'left open', hearing: 'sorry' }
    await pressed('fanta', (pen) => writeFine(pen, { ...written, heardOn: VALLEY_TODAY, lapseOn: '2026-11-26' }))
    const seen = (await listFines(valley.db)).at(-1)!
    await pressed('amaru', (pen) => confirmFine(pen, seen, VALLEY_TODAY))
    await expect(pressed('besi', (pen) => confirmFine(pen, seen, VALLEY_TODAY))).rejects.toThrow('approval-twice')

    const posted = (await listFines(valley.db)).at(-1)!
    const lapse = { onDate: '2026-11-27', reason: 'lapsed' }
    await pressed('fanta', (pen) => lapseFine(pen, posted, lapse))
    await expect(pressed('fanta', (pen) => lapseFine(pen, posted, lapse))).rejects.toThrow('already-corrected')
    expect(await correctionsOf(posted.transfer!.id)).toBe(1)
  })

  it('grant a relief once', async () => {
    const [personId, askedId] = [await idOf('hila'), await idOf('amaru')]
    await pressed('fanta', (pen) =>
      writeRelief(pen, { personId, askedId, amountMinor: 300, minute: '7', words: 'hail' }),
    )
    const seen = (await listReliefs(valley.db)).at(-1)!
    await pressed('amaru', (pen) => grantRelief(pen, seen, VALLEY_TODAY))
    await expect(pressed('amaru', (pen) => grantRelief(pen, seen, VALLEY_TODAY))).rejects.toThrow('approval-twice')
  })

  it('write one person under one number, and the second is told so', async () => {
    const amaru = new Rascal(valley.app)
    await amaru.signIn('amaru')
    const sent = { number: '900', name: 'Twice', roles: 'member', signInName: 'twice', password: 'long enough a word' }
    const answers = await Promise.all([amaru.post('/people/persons', sent), amaru.post('/people/persons', sent)])
    expect(answers.map(({ status }) => status).toSorted()).toEqual([303, 409])
    expect(answers.find(({ status }) => status === 409)!.text).toContain('already decided or written')
  })
})

async function correctionsOf(id: string): Promise<number> {
  return (await valley.db.selectFrom('entry').select('id').where('correctsId', '=', id).execute()).length
}
