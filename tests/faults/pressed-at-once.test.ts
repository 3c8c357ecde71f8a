import { beforeAll, describe, expect, it } from 'vitest'
import { appendEntry, type Pen } from '../../server/book/entries.ts'
import { grantRelief, listReliefs, writeRelief } from '../../server/fees/arrears/relief-store.ts'
import { confirmFine, listFines, takeBack, writeFine } from '../../server/fees/fine/store.ts'
import { standingWeek } from '../../server/rotation/outcome/standing-week.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import type { Fields, Visitor } from '../support/visitor.ts'
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
    await pressed('fanta', (pen) => takeBack(pen, posted, lapse))
    await expect(pressed('fanta', (pen) => takeBack(pen, posted, lapse))).rejects.toThrow('already-corrected')
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
    const answers = await Promise.all([amaru.post('/people/new', sent), amaru.post('/people/new', sent)])
    expect(answers.map(({ status }) => status).toSorted()).toEqual([303, 422])
    expect(answers.find(({ status }) => status === 422)!.text).toContain('Number 900 is already taken')
  })
})

describe('two officers who look at the same page and press at the same moment', () => {
  /** Both have the page open; then both send its form at once. */
  const bothPress = async ([one, other]: readonly Visitor[], path: string, action: string, typed: Fields = {}) => {
    const pages = [await one!.open(path), await other!.open(path)]
    const before = await entryCount()
    const answers = await Promise.all([one!.send(pages[0]!, typed, action), other!.send(pages[1]!, typed, action)])
    const second = answers.find(({ status }) => status !== 200)
    expect(answers.map(({ status }) => status).filter((status) => status === 200)).toHaveLength(1)
    return { said: second!.words, status: second!.status, made: (await entryCount()) - before }
  }
  const entryCount = async () => (await valley.db.selectFrom('entry').select('id').execute()).length
  const signedIn = async (...names: string[]) => Promise.all(names.map((name) => valley.signIn(name)))

  it('confirm a tariff once', async () => {
    const [fanta, ...officers] = await signedIn('fanta', 'amaru', 'besi')
    const { path } = await fanta!.fill('/money/price/new', { fromOn: '2026-12-01', perM3: '90' })
    expect(await bothPress(officers, path, path)).toMatchObject({ made: 1 })
  })

  it('publish a week once, and the second is told so', async () => {
    const path = '/turns/weeks/2026-11-30/publish'
    const { said, made } = await bothPress(await signedIn('amaru', 'besi'), path, path)
    expect([said, made]).toEqual([expect.stringContaining('already been published'), 1])
  })

  it('post the charges once, and the second is told that they changed', async () => {
    const writtenBy = await idOf('dovi')
    await valley.db.transaction().execute(async (trx) => {
      const [draw] = await trx.selectFrom('abstraction').selectAll().where('use', '=', 'irrigation').limit(1).execute()
      const { entryId: _, ...row } = draw!
      const abstraction = [{ ...row, onDate: '2026-11-24', turnId: null, volumeM3: 3 }]
      await appendEntry(
        { trx, writtenBy, writtenAt: `${VALLEY_TODAY}T09:00:00.000Z` },
        { kind: 'abstraction' },
        { abstraction },
      )
    })
    const { said, status } = await bothPress(await signedIn('fanta', 'fanta'), '/money/charges', '/money/charges')
    expect([said, status]).toEqual([expect.stringContaining('Something in the log has changed'), 409])
  })

  it('agree to a swap once, and the second is told that it was agreed', async () => {
    const [dovi, elu] = await signedIn('dovi', 'elu')
    const week = (await standingWeek(valley.db, '2026-11-23'))!
    const turn = week.standing.find(({ on }) => on > VALLEY_TODAY)!
    const gifts = week.inputs.plots.filter(
      ({ id, outletIds }) => id !== turn.plotId && outletIds.includes(turn.outletId),
    )
    await dovi!.fill(`/turns/${turn.bookId}/otherwise?as=swap`, { toPlotId: gifts[0]!.id, payer: 'taker' })
    const action = (await dovi!.open('/turns/asked?as=swaps')).html
      .querySelector('form[action^="/turns/asked/swaps/"]')!
      .getAttribute('action')!
    const { said, made } = await bothPress([dovi!, elu!], '/turns/asked?as=swaps', action, { given: 'present' })
    expect([said, made]).toEqual([expect.stringContaining('agreed'), 1])
  })
})

async function correctionsOf(id: string): Promise<number> {
  return (await valley.db.selectFrom('entry').select('id').where('correctsId', '=', id).execute()).length
}
