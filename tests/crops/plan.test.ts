import { describe, expect, it } from 'vitest'
import { CROPS } from '../../domain/crops/data/crops.ts'
import { startedBook, type TestBook } from '../support/book.ts'
import { MESSAGES } from '../support/messages.ts'
import { optionValue, type Seen, type Visitor } from '../support/visitor.ts'
import { onPlot, shown } from './farm.ts'

const beside = (page: Seen, field: string) => page.html.querySelector(`#${field}-error`)?.text ?? ''
const plans = (db: TestBook['db']) => db.selectFrom('cropPlan').selectAll().execute()

async function sow(ada: Visitor, change: Record<string, string> = {}) {
  const form = await ada.open('/crops/new')
  const cropKey = optionValue(form, 'cropKey', 'Tomato')
  const plotId = optionValue(form, 'plotId', 'Ford plot')
  return ada.send(form, { plotId, cropKey, area: '200', sownOn: '2026-06-01', ...change })
}

describe('writing in a crop', () => {
  it('shows its stages by date and what grows where', async () => {
    const { ada, db } = await startedBook()
    await onPlot(db)
    const page = await sow(ada)
    expect(page.words).toContain('Tomato on plot 1 Ford plot')
    expect(page.words).toMatch(new RegExp(`initial ?${shown('2026-06-01')} ?${shown('2026-06-30')}`))
    expect(page.words).toMatch(new RegExp(`late season ?${shown('2026-09-19')} ?${shown('2026-10-13')}`))
    expect((await ada.open('/crops')).words).toMatch(
      new RegExp(`1 Ford plot ?Tomato ?200 ?${shown('2026-06-01')} ?${shown('2026-10-13')}`),
    )
  })

  it.each([
    ['area', { area: '401' }, 'only 400 m²'],
    ['area', { area: '-5' }, 'from 1 to'],
    ['area', { area: 'half' }, '“half” is not a number'],
    ['sownOn', { sownOn: '2026-11-01' }, `season of the book ends on ${shown('2026-10-31')}`],
    ['sownOn', { sownOn: '' }, 'fill this in'],
    ['plotId', { plotId: 'elsewhere' }, 'Choose one from the list'],
    ['cropKey', { cropKey: 'garlic' }, 'Choose one from the list'],
    ['cropKey', { cropKey: 'unheard_of' }, 'Choose one from the list'],
  ])('says beside %s what is wrong with %j, and writes nothing', async (field, change, words) => {
    const { ada, db } = await startedBook()
    await onPlot(db)
    const page = await sow(ada, change)
    expect(page.status).toBe(422)
    expect(beside(page, field)).toContain(words)
    expect(await plans(db)).toEqual([])
    const kept = { area: '200', sownOn: '2026-06-01', ...change }
    expect(page.html.querySelector('#area')?.getAttribute('value')).toBe(kept.area)
    expect(page.html.querySelector('#sownOn')?.getAttribute('value')).toBe(kept.sownOn)
  })

  it('takes several crops on one plot, and asks about more ground than there is', async () => {
    const { ada, db } = await startedBook()
    await onPlot(db)
    expect((await sow(ada)).words).not.toContain('the plot has 400')
    expect((await sow(ada, { area: '200', cropKey: 'maize_grain' })).words).not.toContain('the plot has 400')
    expect((await sow(ada, { area: '50', cropKey: 'cabbage' })).words).toContain('take 450 m², the plot has 400')
    expect((await sow(ada, { area: '400', sownOn: '2025-09-01' })).words).not.toContain('the plot has 400')
    expect(await plans(db)).toHaveLength(4)
  })

  it('hints at a watering that the crop does not like, and takes it', async () => {
    const { ada, db } = await startedBook()
    await onPlot(db, { method: 'sprinkler' })
    expect((await sow(ada)).words).toContain('Wet leaves spread disease')
  })

  it('has a name in the catalogue for every crop of the table', () => {
    expect(CROPS.filter((crop) => !MESSAGES.has(`crops.crop.${crop.key}`))).toEqual([])
  })
})

describe('the end of a crop', () => {
  const end = (ada: Visitor, plan: Seen, change: Record<string, string>) =>
    ada.fill(`${plan.path.replace('lines/crop', 'plans')}/end`, {
      outcome: 'harvested',
      endedOn: '2026-06-03',
      ...change,
    })

  it.each(['harvested', 'lost'])('is written as %s on a day', async (outcome) => {
    const { ada, db } = await startedBook()
    await onPlot(db)
    const page = await end(ada, await sow(ada), { outcome })
    expect(page.words).toContain(`${outcome} on ${shown('2026-06-03')}`)
    expect((await ada.open('/crops')).words).toContain('No crop is written in yet')
  })

  it.each([
    ['endedOn', { endedOn: '2026-05-31' }, `before the crop was sown, ${shown('2026-06-01')}`],
    ['endedOn', { endedOn: '2026-06-05' }, 'still to come'],
    ['outcome', { outcome: '' }, 'Choose one'],
  ])('says beside %s what is wrong with %j', async (field, change, words) => {
    const { ada, db } = await startedBook()
    await onPlot(db)
    const page = await end(ada, await sow(ada), change)
    expect(page.status).toBe(422)
    expect(beside(page, field)).toContain(words)
    expect(await db.selectFrom('cropEnd').selectAll().execute()).toEqual([])
  })

  it('is corrected only with a reason', async () => {
    const { ada, db } = await startedBook()
    await onPlot(db)
    const plan = await sow(ada)
    await end(ada, plan, {})
    const refused = await end(ada, plan, { outcome: 'lost' })
    expect(beside(refused, 'reason')).toContain('Say why')
    expect((await ada.send(refused, { reason: 'The hail took it' })).words).toContain(`lost on ${shown('2026-06-03')}`)
  })

  it('is asked for once the last stage is over', async () => {
    const { ada, db } = await startedBook()
    await onPlot(db)
    await sow(ada, { sownOn: '2026-01-01' })
    expect((await ada.open('/crops')).words).toContain('Past its last stage: write in the harvest.')
  })
})

describe('a crop written wrong', () => {
  const correct = (ada: Visitor, plan: Seen, change: Record<string, string>) => ada.fill(`${plan.path}/correct`, change)

  it('is written anew with a reason, keeps its ending, and shows what stood before', async () => {
    const { ada, db } = await startedBook()
    await onPlot(db)
    const plan = await sow(ada)
    await ada.fill(`${plan.path.replace('lines/crop', 'plans')}/end`, { outcome: 'lost', endedOn: '2026-06-03' })
    const page = await correct(ada, plan, { area: '150', reason: 'Taped again' })
    expect(page.path).not.toBe(plan.path)
    expect(page.words).toContain(`lost on ${shown('2026-06-03')}`)
    expect(page.words).toContain(`Tomato, 200 m², sown ${shown('2026-06-01')}. Corrected because: Taped again`)
    expect((await ada.open(plan.path)).status).toBe(404)
  })

  it('is struck out and then grows nowhere', async () => {
    const { ada, db } = await startedBook()
    await onPlot(db)
    const page = await correct(ada, await sow(ada), { struckOut: 'yes', reason: 'Another plot' })
    expect(page.path).toBe('/crops')
    expect(page.words).toContain('No crop is written in yet')
    expect(await plans(db)).toHaveLength(1)
  })

  it.each([
    ['reason', { area: '150' }, 'fill this in'],
    ['area', { area: '401', reason: 'x' }, 'only 400 m²'],
    ['sownOn', { sownOn: '2026-06-04', reason: 'x' }, 'after the crop ended'],
  ])('is not corrected with a wrong %s', async (field, change, words) => {
    const { ada, db } = await startedBook()
    await onPlot(db)
    const plan = await sow(ada)
    await ada.fill(`${plan.path.replace('lines/crop', 'plans')}/end`, { outcome: 'lost', endedOn: '2026-06-03' })
    const page = await correct(ada, plan, change)
    expect(page.status).toBe(422)
    expect(beside(page, field)).toContain(words)
    expect(await plans(db)).toHaveLength(1)
  })
})

describe('crop plans', () => {
  it('are written by the committee and seen by all', async () => {
    const { ada, db, visitor } = await startedBook()
    await onPlot(db)
    const plan = await sow(ada)
    await ada.fill('/people/new', {
      number: '2',
      name: 'Bela',
      roles: ['neighbour'],
      signInName: 'bela',
      password: 'another long word',
    })
    const bela = visitor()
    await bela.fill('/sign-in', { signInName: 'bela', password: 'another long word' })
    expect((await bela.open('/crops/new')).status).toBe(403)
    expect((await bela.open(plan.path)).status).toBe(200)
    expect((await bela.open('/crops')).words).toContain('Tomato')
    expect((await bela.open('/crops/lines/crop/none')).status).toBe(404)
  })
})
