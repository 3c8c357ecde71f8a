import { describe, expect, it } from 'vitest'
import { listAbstractions } from '../../../server/abstractions/draw/store.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'
import { abstractionsBook, addTurn, TODAY } from '../book.ts'

const DAY = { fromOn: TODAY, toOn: TODAY }

async function bookWithTurn() {
  const book = await abstractionsBook()
  const turnId = await book.writing((pen) => addTurn(pen, book))
  return { ...book, turnPage: `/log/turns/${turnId}` }
}

async function other(ada: Visitor, fields: Record<string, string>) {
  const form = await ada.open('/log/water?use=irrigation')
  const [place, plotId] = [optionValue(form, 'place', 'Outlet 3'), optionValue(form, 'plotId', '7 Mango')]
  return ada.send(form, { place, plotId, ...fields })
}

describe('the start of a turn', () => {
  it('is asked for: nothing is written while nobody read it or said that nobody did', async () => {
    const { ada, db, turnPage } = await bookWithTurn()
    await other(ada, { opening: '1200', closing: '1202', startTime: '06:00', endTime: '07:00' })
    const refused = await ada.fill(turnPage, { closing: '1208' })
    expect(refused.status).toBe(422)
    expect(refused.words).toContain('tick that the start was not read')
    expect(refused.html.querySelector('#closing')!.getAttribute('value')).toBe('1208')
    expect((await ada.fill(turnPage, { opening: '1202', startUnread: 'yes', closing: '1208' })).status).toBe(422)
    expect(await listAbstractions(db, DAY)).toHaveLength(1)
  })

  it('that was not read stands on the closing before it, and says nothing for that closing', async () => {
    const { ada, db, turnPage } = await bookWithTurn()
    // 120 for 102: the pump gives 3 m3 an hour.
    await other(ada, { opening: '100', closing: '120', startTime: '06:00', endTime: '07:00' })
    const form = await ada.open(turnPage)
    expect(form.words).toContain('This last closing is in doubt')
    const turn = await ada.send(form, { startUnread: 'yes', closing: '106', startTime: '08:00', endTime: '10:00' })
    expect(turn.words).toContain('two digits were swapped: 102 would fit')
    const first = (await listAbstractions(db, DAY))[0]!
    expect((await ada.open(`/log/lines/drawn/${first.id}`)).words).toContain('two digits were swapped: 102 would fit')
  })

  it('is mended with the closing on which it stands, by one correction from either line', async () => {
    const { ada, db, turnPage } = await bookWithTurn()
    await other(ada, { opening: '100', closing: '120', startTime: '06:00', endTime: '07:00' })
    const turn = await ada.fill(turnPage, {
      startUnread: 'yes',
      closing: '106',
      startTime: '08:00',
      endTime: '10:00',
    })
    const mend = turn.html.querySelectorAll('main a').find((one) => one.text === 'Correct it so')!
    await ada.fill(mend.getAttribute('href')!, { reason: 'two digits were swapped' })
    const mended = await listAbstractions(db, DAY)
    expect(mended.map(({ openingM3, closingM3, volumeM3 }) => [openingM3, closingM3, volumeM3])).toEqual([
      [100, 102, 2],
      [102, 106, 4],
    ])
    expect((await ada.open('/log/check')).words).toContain('Nothing is open')
  })

  it('above the closing before it is water without a line: told once, and no more once the line is there', async () => {
    const { ada, turnPage } = await bookWithTurn()
    await other(ada, { opening: '100', closing: '102', startTime: '06:00', endTime: '07:00' })
    await ada.fill(turnPage, { opening: '102.5', closing: '106.5', startTime: '08:00', endTime: '10:00' })
    const open = await ada.open('/log/check')
    expect(open.words).toContain('1 open point')
    expect(open.words).toContain('0.5 m³ between them')
    const stand = await ada.open('/log/water?use=drinking')
    const place = optionValue(stand, 'place', 'Outlet 3')
    await ada.send(stand, { place, volume: '25', unit: 'jerrycans', startTime: '07:10' })
    expect((await ada.open('/log/check')).words).toContain('Nothing is open')
  })
})
