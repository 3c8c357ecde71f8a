import { describe, expect, it } from 'vitest'
import { WEIR_PARTS } from '../../domain/water/inspection.ts'
import { optionValue, type Visitor } from '../support/visitor.ts'
import { bookWithWeir, errorBeside, FIG_TREE, signInAgain, tableRows } from './support.ts'

const WALL = { seenOn: '2026-06-04', part: 'wall', state: 'sound', found: 'No cracks', nextOn: '2026-06-20' }

async function inspect(ada: Visitor, fields: Record<string, string> = {}) {
  const form = await ada.open('/water/walls/new')
  return ada.send(form, { weirId: optionValue(form, 'weirId', 'Fig'), ...WALL, ...fields })
}

describe('the inspection book', () => {
  it('keeps what was found, what to do and when next, with the cautions', async () => {
    const { ada } = await bookWithWeir()
    const page = await inspect(ada, {
      state: 'repair',
      found: 'Scour under the apron',
      toDo: 'Ask the mason',
      part: 'apron',
    })
    expect(page.path).toMatch(/^\/water\/lines\/wall\//)
    expect(page.words).toContain('work for a licensed engineer and skilled masons; follow local codes')
    expect(page.words).toContain('Nobody climbs in alone')
    const book = await ada.open('/water/walls')
    expect(tableRows(book, 'last look')).toEqual([
      ['Weir 1, Apron', '4 Jun 2026', 'Needs repair: Scour under the apron', 'Ask the mason', '20 Jun 2026'],
    ])
    expect(book.words).toContain('Weir 1, never written in: Wall, Wings, Spillway')
  })

  it('goes by the weirs and their parts, and leaves out a weir of which every part was seen', async () => {
    const { ada } = await bookWithWeir()
    await ada.fill('/water/weirs/new', { ...FIG_TREE, number: '2', name: 'Ford', distance: '900' })
    const ford = optionValue(await ada.open('/water/walls/new'), 'weirId', 'Ford')
    await inspect(ada, { weirId: ford })
    for (const part of WEIR_PARTS) await inspect(ada, { part })
    const book = await ada.open('/water/walls')
    expect(tableRows(book, 'last look').map(([what]) => what)).toEqual([
      ...['Weir 1, Wall', 'Weir 1, Wings', 'Weir 1, Apron', 'Weir 1, Spillway', 'Weir 1, Stone baskets'],
      ...['Weir 1, Chamber and its cleaning', 'Weir 1, Silt cap on the sand', 'Weir 2, Wall'],
    ])
    expect(book.words).not.toContain('Weir 1, never written in')
    expect(book.words).toContain('Weir 2, never written in')
  })

  it('shows an overdue look on the water page until somebody looks again', async () => {
    const { ada, setNow } = await bookWithWeir()
    await inspect(ada)
    setNow('2026-06-20T05:00:00Z')
    await signInAgain(ada)
    const onTheDay = await ada.open('/water')
    expect(onTheDay.path).toBe('/water')
    expect(onTheDay.words).not.toContain('overdue')
    setNow('2026-06-21T05:00:00Z')
    await signInAgain(ada)
    expect((await ada.open('/water')).words).toContain(
      'One look at a wall is overdue: Wall, weir 1, since 20 Jun 2026.',
    )
    expect((await ada.open('/water/walls')).words).toContain('Wall, weir 1: was to be looked at by 20 Jun 2026')
    await inspect(ada, { seenOn: '2026-06-21', nextOn: '' })
    expect((await ada.open('/water')).words).not.toContain('overdue')
    expect((await ada.open('/water/walls')).words).toContain('Earlier')
  })

  it('tells a danger on the water page and sends people to a licensed engineer', async () => {
    const { ada } = await bookWithWeir()
    await inspect(ada, { state: 'danger', part: 'wings', found: 'Water runs round the left end' })
    const water = await ada.open('/water')
    expect(water.words).toContain('Danger: Wings, weir 1, seen on 4 Jun 2026.')
    expect(water.words).toContain('ask a licensed engineer. Local codes come first')
  })

  it('takes a line that was struck out for never looked', async () => {
    const { ada } = await bookWithWeir()
    const one = await inspect(ada)
    expect(errorBeside(await ada.send(one, { reason: '' }), 'reason')).toContain('Please fill this in')
    const book = await ada.send(await ada.open(one.path), { reason: 'Was weir 2' })
    expect(book.words).toContain('Nobody has written in a look at a wall yet.')
  })

  it.each([
    ['seenOn', { seenOn: '2026-06-05' }, 'still to come'],
    ['nextOn', { nextOn: '2026-06-04' }, 'must come after'],
    ['part', { part: 'roof' }, 'Choose one'],
    ['state', { state: '' }, 'Choose one'],
    ['weirId', { weirId: 'none' }, 'Choose one'],
    ['found', { found: '' }, 'Please fill this in'],
  ])('refuses a wrong %s beside the field and writes nothing', async (field, fields, words) => {
    const { ada, db } = await bookWithWeir()
    const page = await inspect(ada, { toDo: 'Look again', ...(fields as Record<string, string>) })
    expect(page.status).toBe(422)
    expect(errorBeside(page, field)).toContain(words)
    expect(page.html.querySelector('#toDo')?.getAttribute('value')).toBe('Look again')
    expect(await db.selectFrom('inspection').selectAll().execute()).toEqual([])
  })
})
