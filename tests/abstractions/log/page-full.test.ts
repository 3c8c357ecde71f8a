import { describe, expect, it } from 'vitest'
import { listAbstractions } from '../../../server/abstractions/draw/store.ts'
import { verifyBook } from '../../../server/book/verify.ts'
import { abstractionsBook, addTurn, TODAY } from '../book.ts'

const DAY = { fromOn: TODAY, toOn: TODAY }

async function bookWithTurn() {
  const book = await abstractionsBook()
  const turnId = await book.writing((pen) => addTurn(pen, book))
  return { ...book, logPage: `/log/turns/${turnId}` }
}

describe('a turn logged in full', () => {
  it('keeps sky, events, stand-in and slip number beside the volume', async () => {
    const { ada, logPage, db } = await bookWithTurn()
    const more = { sky: 'dull', events: ['late', 'leak'], standIn: 'her sister', slipNo: '308' }
    const entry = await ada.fill(logPage, { opening: '1204', closing: '1207', ...more })
    const facts = entry.html.querySelectorAll('dl.facts dd').map((fact) => fact.text)
    expect(facts).toEqual(expect.arrayContaining(['her sister', 'dull', 'the taker came after the hour, leak', '308']))
    const form = await ada.open(`${entry.path}/correct`)
    expect(form.html.querySelector('#standIn')?.getAttribute('value')).toBe('her sister')
    expect(form.html.querySelectorAll('input[name="events"][checked]')).toHaveLength(2)
    expect((await verifyBook(db)).brokenAt).toBeNull()
  })

  it('times a bucket four times and shows mean and spread', async () => {
    const { ada, logPage, db } = await bookWithTurn()
    const timings = { seconds1: '11', seconds2: '12', seconds3: '12.5', seconds4: '12.5' }
    const entry = await ada.fill(`${logPage}?method=bucket`, { containerLitres: '20', ...timings, hours: '1:30' })
    // 20 litres in 12 seconds on average are 6 m3/h; an hour and a half gives 9 m3.
    expect(entry.words).toContain('11, 12, 12.5, 12.5 seconds, 12 on average, 1.5 between')
    expect(entry.words).toContain('6 m³ an hour. 1 h 30 of it make 9 m³')
    expect((await listAbstractions(db, DAY))[0]).toMatchObject({ method: 'bucket', volumeM3: 9, grade: 'estimated' })
    const form = await ada.open(`${entry.path}/correct`)
    expect(form.html.querySelector('#seconds3')?.getAttribute('value')).toBe('12.5')
  })

  it('reckons the rise in a tank by its floor', async () => {
    const { ada, logPage, db } = await bookWithTurn()
    const entry = await ada.fill(`${logPage}?method=tank`, { tankArea: '4', tankRise: '50' })
    expect(entry.words).toContain('4 m² of tank rose by 50 cm: 2 m³')
    expect((await listAbstractions(db, DAY))[0]).toMatchObject({ method: 'tank', volumeM3: 2, grade: 'measured' })
  })

  it('joins the old meter and the new one when the meter was replaced', async () => {
    const { ada, logPage, db } = await bookWithTurn()
    const meters = { opening: '1204', oldLast: '1206', newFirst: '3', closing: '5', newSerial: 'B-77' }
    const entry = await ada.fill(`${logPage}?method=replaced`, { ...meters, startTime: '08:00', endTime: '10:00' })
    expect(entry.words).toContain('from 1,204 to 1,206, the new one from 3 to 5, together 4 m³')
    expect(entry.words).toContain('Number on the new meter: B-77')
    // Nothing is odd but that one person alone says so.
    expect(entry.words.match(/▲ [^:]*/g)).toEqual(['▲ The meter was replaced in this draw'])
    expect((await listAbstractions(db, DAY))[0]).toMatchObject({ method: 'meter', volumeM3: 4, grade: 'measured' })
    const form = await ada.open(`${entry.path}/correct`)
    expect(form.html.querySelector('#oldLast')?.getAttribute('value')).toBe('1206')
  })

  it.each([
    ['bucket', { containerLitres: '20', seconds1: '0' }, 'seconds1', 'from 0.1'],
    ['bucket', { containerLitres: '20', seconds1: '12' }, 'hours', 'clock time'],
    ['bucket', { containerLitres: '20', seconds1: '12', hours: 'long' }, 'hours', 'is not a length of time'],
    ['tank', { tankArea: '0', tankRise: '5' }, 'tankArea', 'from 0.01'],
    ['replaced', { opening: '1', oldLast: '', newFirst: '0', closing: '2' }, 'oldLast', 'fill this in'],
  ])('sends %s with %j back beside %s', async (way, typed, field, words) => {
    const { ada, logPage, db } = await bookWithTurn()
    const page = await ada.fill(`${logPage}?method=${way}`, typed)
    expect(page.status).toBe(422)
    expect(page.html.querySelector(`#${field}-error`)?.text).toContain(words)
    expect(await listAbstractions(db, DAY)).toEqual([])
  })
})

describe('the open points of the season', () => {
  it('stand on one list until somebody settles them with words', async () => {
    const { ada, logPage } = await bookWithTurn()
    const entry = await ada.fill(logPage, { opening: '1204', closing: '1208', startTime: '14:00', endTime: '16:00' })
    const list = await ada.open('/log/check')
    expect(list.words).toContain('1 open point')
    expect(list.words).toContain('The time is not that of the plan')
    const form = await ada.open(list.html.querySelector('a[href^="/log/settle/odd/"]')!.getAttribute('href')!)
    expect((await ada.send(form, { words: '' })).status).toBe(422)
    const settled = await ada.send(form, { words: 'Bela came from a burial' })
    expect(settled.words).toContain('Nothing is open')
    expect(settled.words).toContain('Bela came from a burial (Ada)')
    expect((await ada.open(entry.path)).words).toContain('Settled: Bela came from a burial')
    expect((await ada.open('/log')).words).not.toContain('look again')
    expect((await ada.open(form.path)).status).toBe(404)
  })

  it('go when the entry is corrected', async () => {
    const { ada, logPage } = await bookWithTurn()
    const entry = await ada.fill(logPage, { opening: '1204', closing: '1028', startTime: '08:00', endTime: '10:00' })
    expect((await ada.open('/log/check')).words).toContain('two digits were swapped')
    await ada.fill(`${entry.path}/correct`, { closing: '1208', reason: 'digits swapped' })
    expect((await ada.open('/log/check')).words).toContain('Nothing is open')
  })
})
