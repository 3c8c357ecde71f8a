import { beforeAll, describe, expect, it } from 'vitest'
import { startedBook } from '../../support/book.ts'
import type { Fields, Seen, Visitor } from '../../support/visitor.ts'
import { onPlot } from '../farm.ts'

const SETTINGS = '/crops/figures'

/** What clogs are emitters, what the wind carries off are drops in the air: no other method knows either. */
const KNOWS: Record<string, string> = { drip: 'clogged', sprinkler: 'windy', surface: '', hose_or_can: '' }

let ada: Visitor
const plots = new Map<string, string>()
beforeAll(async () => {
  const book = await startedBook('2026-06-04T05:00:00Z')
  ada = book.ada
  for (const [at, method] of Object.keys(KNOWS).entries())
    plots.set(method, await onPlot(book.db, { number: at + 1, name: `Plot of ${method}`, method }))
})

/** The answers of a form that were refused. */
const refused = ({ html }: Seen) =>
  html
    .querySelectorAll('main [id$="-error"]')
    .filter((one) => one.text.trim())
    .map((one) => one.id.replace('-error', ''))

describe('the days and the depth of the first waterings', () => {
  it.each<[Fields, string[]]>([
    [{ wettingDays: '', wettingMm: '' }, []],
    [{ wettingDays: '3', wettingMm: '12' }, []],
    [{ wettingDays: '3', wettingMm: '12', wettedPart: 'on' }, []],
    [{ wettingDays: '', wettingMm: '12' }, ['wettingDays']],
    [{ wettingDays: '3', wettingMm: '' }, ['wettingMm']],
    [{ wettingDays: '', wettingMm: '', wettedPart: 'on' }, ['wettingDays']],
  ])('%j leave to be put right: %j', async (fields, wrong) => {
    const page = await ada.fill('/crops/settle/place', fields)
    expect([page.status, refused(page)]).toEqual([wrong.length ? 422 : 200, wrong])
    const { words } = await ada.open(SETTINGS)
    if (!wrong.length && fields.wettingDays) expect(words).toContain('every 3 days, 12 mm deep')
  })
})

describe('the state of what waters a plot', () => {
  const rows = Object.keys(KNOWS).flatMap((method) =>
    ['sound', 'clogged', 'windy'].map((state) => ({
      method,
      state,
      isTaken: ['sound', KNOWS[method]].includes(state),
    })),
  )

  it.each(rows)('of $method may be $state: $isTaken', async ({ method, state, isTaken }) => {
    const page = await ada.fill('/crops/settle/watering', { plotId: plots.get(method)!, state })
    expect([page.status, refused(page)]).toEqual(isTaken ? [200, []] : [422, ['state']])
  })
})

describe('the figures that the group reckons with', () => {
  it('come back as they were typed: on their page, and in the form that changes them', async () => {
    await ada.fill('/crops/settle/rain', { threshold: '4', percent: '65' })
    const { words } = await ada.open(SETTINGS)
    expect(words).toContain('65%')
    const form = await ada.open('/crops/settle/rain')
    expect(form.html.querySelector('#percent')!.getAttribute('value')).toBe('65')
    expect(form.html.querySelector('#threshold')!.getAttribute('value')).toBe('4')
  })

  it.each<[Fields, string, string]>([
    [{ dryAir: '0', factor: '' }, 'the lowest temperature.', 'counts as the equation gives it.'],
    [{ dryAir: '2', factor: '0.93' }, '2 degrees below the lowest temperature.', 'multiplied by 0.93.'],
  ])('tell how the demand of the air is reckoned: %j', async (fields, ...told) => {
    await ada.fill('/crops/settle/demand', fields)
    const { words } = await ada.open(SETTINGS)
    for (const one of told) expect(words).toContain(one)
    expect(words.includes('degrees below')).toBe(fields.dryAir !== '0')
  })

  it('tell of mulch where there is some, and no more once it is gone', async () => {
    const plotId = plots.get('drip')!
    const lists = async () => {
      const { words } = await ada.open(SETTINGS)
      return [words.includes('straw, leaves or grass, 40%'), words.includes('All ground counts as bare.')]
    }
    await ada.fill('/crops/settle/mulch', { plotId, kind: 'straw', percent: '40' })
    const laid = await lists()
    await ada.fill('/crops/settle/mulch', { plotId, kind: 'none', percent: '0' })
    expect([laid, await lists()]).toEqual([
      [true, false],
      [false, true],
    ])
  })
})
