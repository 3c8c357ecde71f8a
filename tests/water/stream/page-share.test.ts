import { describe, expect, it } from 'vitest'
import { addAbstraction } from '../../../server/abstractions/draw/store.ts'
import type { Database } from '../../../server/database/connection.ts'
import { restDaysAmong } from '../../../server/water/stream/rest-store.ts'
import { shutWeirsOn } from '../../../server/water/stream/state.ts'
import type { TestBook } from '../../support/book.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'
import { bookWithWeir, errorBeside, putName, readLevel, secondName, tableRows, workingValue } from '../support.ts'

const FLOAT = {
  onDate: '2026-06-04',
  atTime: '07:00',
  place: 'below the last weir',
  length: '10',
  times: '20 20\n20; 20',
  soundings: '0; 0\n1; 0,2\n2; 0',
}
const BUCKET = { onDate: '2026-06-04', atTime: '07:00', place: 'at the pipe', litres: '20', fillings: '10 10 10 10' }
const SHARE = { restDays: ['4'], permit: '', permitYearStart: '', warnPart: '80', fromOn: '2026-06-01' }

async function draw(db: Database, { weirId, onDate, volumeM3 }: { weirId: string; onDate: string; volumeM3: number }) {
  const { entryId: writtenBy } = await db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
  const nothing = {
    pumpId: null,
    outletId: null,
    plotId: null,
    turnId: null,
    takerId: null,
    openingM3: null,
    closingM3: null,
  }
  const unknown = { hours: null, flowM3PerH: null, startTime: null, endTime: null, remark: null }
  const drawn = {
    onDate,
    use: 'drinking',
    weirId,
    method: 'volume',
    volumeM3,
    uncertaintyM3: 0,
    grade: 'measured',
  } as const
  await db
    .transaction()
    .execute((trx) =>
      addAbstraction({ trx, writtenBy, writtenAt: '2026-06-04T05:00:00Z' }, { ...drawn, ...nothing, ...unknown }),
    )
}

const settle = (ada: Visitor, fields: Record<string, string | string[]>) =>
  ada.fill('/water/stream/share', { ...SHARE, ...fields })

/** The same with the second name under it. */
async function agreed(book: TestBook & { ada: Visitor }, fields: Record<string, string | string[]>) {
  await settle(book.ada, fields)
  return putName(await secondName(book, book.ada), '/water/stream')
}

describe('a gauging', () => {
  it('by float is area x length / time x factor, with its doubt', async () => {
    const { ada } = await bookWithWeir()
    const page = await ada.fill('/water/stream/flow', FLOAT)
    expect(page.path).toMatch(/^\/water\/lines\/flow\//)
    // 0.2 m2 x 0.5 m/s x 0.75 x 3600 = 270; root of (0.095 / 0.75)^2 and 0.1^2 is 16 per cent.
    expect(workingValue(page, 'Wetted area')).toBe('0.2 m²')
    expect(workingValue(page, 'Speed of the float')).toBe('0.5 m/s')
    expect(page.words).toContain('270 m³ an hour flow by (226 to 314); that is 75 litres a second.')
    expect(page.words).toContain('Good to about 16% either way')
    const own = await ada.fill('/water/stream/flow', { ...FLOAT, surfaceFactor: '0.66' })
    expect(own.words).toContain('238 m³ an hour')
  })

  it('by bucket is litres over seconds, within 5 per cent when it is done with care and 15 when not', async () => {
    const { ada } = await bookWithWeir()
    expect((await ada.fill('/water/stream/flow?as=bucket', BUCKET)).words).toContain(
      '7.2 m³ an hour flow by (6.8 to 7.6)',
    )
    const hasty = await ada.fill('/water/stream/flow?as=bucket', { ...BUCKET, fillings: '5 5' })
    expect(hasty.words).toContain('14 m³ an hour flow by (12 to 17)') // 14.4 x 0.85 and x 1.15
  })

  it.each([
    ['times', { times: 'long' }, '“long” is not a number'],
    ['times', { times: '0 0' }, 'must be above zero'],
    ['soundings', { soundings: '0; 0' }, 'At least two depths'],
    ['soundings', { soundings: '0 0\n1' }, 'Line 2: two figures'],
    ['soundings', { soundings: '0 0\n2 0.2\n1 0' }, 'must grow'],
    ['soundings', { soundings: '0 0\n1 -0.2' }, 'cannot be below zero'],
    ['soundings', { soundings: '0 0\n1 0' }, 'nothing flows'],
    ['onDate', { onDate: '2026-07-01' }, 'still to come'],
    ['length', { length: '0' }, 'from 1 to 200'],
    ['surfaceFactor', { surfaceFactor: '2' }, 'from 0.3 to 1'],
  ])('by float is refused with wrong %s %j', async (field, fields, words) => {
    const { ada, db } = await bookWithWeir()
    const page = await ada.fill('/water/stream/flow', { ...FLOAT, ...(fields as Record<string, string>) })
    expect(page.status).toBe(422)
    expect(errorBeside(page, field)).toContain(words)
    expect(page.html.querySelector('#place')?.getAttribute('value')).toBe('below the last weir')
    expect(await db.selectFrom('streamGauging').selectAll().execute()).toEqual([])
  })

  it('by bucket is refused when the filling is too short to be timed', async () => {
    const { ada } = await bookWithWeir()
    const page = await ada.fill('/water/stream/flow?as=bucket', { ...BUCKET, fillings: '2 2.5' })
    expect(errorBeside(page, 'fillings')).toContain('took 2.3 seconds')
  })

  it('counts no longer once it is struck out', async () => {
    const { ada } = await bookWithWeir()
    const one = await ada.fill('/water/stream/flow?as=bucket', BUCKET)
    const page = await ada.send(one, { reason: 'Wrong bucket' })
    expect(page.words).toContain('the stream was not measured')
    expect((await ada.open(one.path)).status).toBe(404)
  })
})

describe('the share of the flow', () => {
  it('is the week’s mean draw over the gauged flow, with the range of the gauging', async () => {
    const { ada, db, weirId } = await bookWithWeir()
    expect((await ada.open('/water/stream')).words).toContain('Cannot say, because the stream was not measured')
    await draw(db, { weirId, onDate: '2026-06-01', volumeM3: 120.96 })
    await draw(db, { weirId, onDate: '2026-05-20', volumeM3: 500 }) // before the week of the gauging
    await ada.fill('/water/stream/flow?as=bucket', BUCKET)
    // 120.96 / 7 = 17.28 m3 a day of 7.2 x 24 = 172.8: a tenth; over 1.05 and 0.95 of the flow 9.5 and 10.5 per cent.
    const page = await ada.open('/water/stream')
    expect(page.words).toContain('drew 10% of what flowed then (10% to 11%)')
    expect(page.words).toContain('17 m³ a day, over 173 m³ a day')
    expect(page.words).toContain('in Kitui, Kenya, less than 3% of a year’s flow. Lasage and others 2008')
  })
})

describe('the permit', () => {
  it.each([
    ['1000', 'it is used up on 25 Dec 2026'], // (1000 - 121) / (121 / 28) = 203.4 days
    ['150', 'More than 80% of what is allowed a year is drawn'],
    ['100', 'What is allowed a year is used up'],
  ])('of %s m3 warns before it is reached', async (permit, words) => {
    const book = await bookWithWeir()
    const { db, weirId } = book
    await draw(db, { weirId, onDate: '2026-06-01', volumeM3: 121 })
    await draw(db, { weirId, onDate: '2025-12-31', volumeM3: 70 }) // the year before
    const page = await agreed(book, { permit, permitYearStart: '01-01' })
    expect(page.words).toContain(words)
    expect(page.words).toContain(`121 of ${permit === '1000' ? '1,000' : permit} m³ are drawn`)
  })

  it('is silent while there is plenty, and needs the day on which its year begins', async () => {
    const book = await bookWithWeir()
    const { db, weirId } = book
    await draw(db, { weirId, onDate: '2026-06-01', volumeM3: 121 })
    const refused = await settle(book.ada, { permit: '5000' })
    expect(errorBeside(refused, 'permitYearStart')).toContain('on which day that year begins')
    const page = await agreed(book, { permit: '5000', permitYearStart: '01-01' })
    expect(page.words).toContain('121 of 5,000 m³ are drawn, 2%')
    expect(page.html.querySelectorAll('.note')).toHaveLength(1) // today is a rest day, nothing else
  })
})

describe('rest days and shut weirs', () => {
  it('say on which days nothing is drawn, and that today is one', async () => {
    const book = await bookWithWeir()
    const { ada, db } = book
    const alone = await settle(ada, {}) // 4 June 2026 is a Thursday
    expect(alone.words).not.toContain('Today is a rest day')
    expect(await restDaysAmong(db, ['2026-06-04'])).toEqual([])
    const page = await putName(await secondName(book, ada), '/water/stream')
    expect(page.words).toContain('Today is a rest day')
    expect(page.words).toContain('Nothing is to be drawn for crops on Thursday, from every weir.')
    const rests = await restDaysAmong(db, ['2026-05-28', '2026-06-03', '2026-06-04'])
    expect(rests.map(({ on }) => on)).toEqual(['2026-06-04'])
  })

  it('keep a weir shut below its mark, and while its level is not known', async () => {
    const { ada, db, weirId } = await bookWithWeir()
    const mark = async (shutBelowLevel: string) => {
      const form = await ada.open('/water/settle/shut')
      const weir = optionValue(form, 'weirId', 'Fig')
      return ada.send(form, { weirId: weir, shutBelowLevel, words: 'Neighbours below', fromOn: '2026-06-01' })
    }
    const page = await mark('99.5')
    expect(tableRows(page, 'Below its mark')[0]![3]).toContain('keep it shut')
    expect(await shutWeirsOn(db, '2026-06-04')).toEqual([weirId])
    await readLevel(ada, 'Fig', { depth: '90' }) // 99.6 m
    expect(tableRows(await ada.open('/water/stream'), 'Below its mark')[0]![3]).toBe('open')
    expect(await shutWeirsOn(db, '2026-06-04')).toEqual([])
    expect(tableRows(await mark('99.6'), 'Below its mark')[0]![3]).toBe('open')
    expect(tableRows(await mark('99.7'), 'Below its mark')[0]![3]).toBe('shut for crops')
    expect(await shutWeirsOn(db, '2026-06-04')).toEqual([weirId])
    expect((await mark('')).words).toContain('No weir has a mark')
    expect(errorBeside(await mark('high'), 'shutBelowLevel')).toContain('is not a number')
  })
})
