import { beforeEach, describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

const START = '2026-11-30'
const LOOK = `/turns/weeks/${START}/publish`
const NAMES = `/turns/names/basis/${START}`

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
beforeEach(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
})

const mayPublish = async () => (await chair.open(LOOK)).text.includes(`action="${LOOK}"`)

/** The chair wrote it alone; another officer puts a name under it. */
async function needsAnother(words: string | RegExp): Promise<void> {
  const look = await chair.open(LOOK)
  expect(look.words).toMatch(words)
  expect([look.words.includes('alone'), await mayPublish()]).toEqual([true, false])
  const goro = await valley.signIn('goro')
  await goro.send(await goro.open(LOOK), {}, NAMES)
  expect(await mayPublish()).toBe(true)
}

const lastDays = (count: number) => Array.from({ length: count }, (_, at) => addDays(VALLEY_TODAY, at + 1 - count))

async function levelOf(number: string, by = chair) {
  const form = await by.open('/water/levels/new')
  const weirId = optionValue(form, 'weirId', `${number} `)
  const last = await valley.db
    .selectFrom('levelReading')
    .select('depthCm')
    .where('weirId', '=', weirId)
    .orderBy('onDate', 'desc')
    .executeTakeFirstOrThrow()
  return { form, weirId, lastCm: last.depthCm }
}

describe('what a week’s water is reckoned by, written by one person', () => {
  it('is how carefully drinking water is kept', async () => {
    await chair.fill('/water/settle/drinking-caution', { rememberedWeeks: '20', fromOn: VALLEY_TODAY })
    await needsAnother('how carefully water for drinking is kept: settled anew')
  })

  it('is the sky expected in that week, and not in another', async () => {
    const form = await chair.open(`/turns/settle/sky/${START}`)
    const dull = form.html.querySelectorAll('select').map((select) => [select.getAttribute('name')!, 'dull'])
    const rings = form.html.querySelectorAll('input[type=radio][value=dull]')
    const days = rings.map((ring) => [ring.getAttribute('name')!, 'dull'])
    expect([...dull, ...days].length).toBeGreaterThan(0)
    await chair.send(form, Object.fromEntries([...dull, ...days]))
    await needsAnother('the sky expected in this week was written')
  })

  it('is the sky seen over a pump', async () => {
    const { entryId } = await valley.db.selectFrom('pump').select('entryId').executeTakeFirstOrThrow()
    await chair.fill(`/works/settle/sky/${entryId}`, { onDate: addDays(VALLEY_TODAY, -1), sky: 'dull' })
    await needsAnother('the sky seen over a pump: settled anew')
  })

  it('is a day that the whole group keeps free', async () => {
    await chair.fill('/turns/settle/no-turn-day', { onDate: '2026-12-01', words: 'funeral' })
    await needsAnother('days without turns: settled anew')
  })

  it('is weather in the place of what stood there, and much rain', async () => {
    expect((await chair.open(LOOK)).words).not.toMatch(/weather written|rain of/)
    const on = addDays(VALLEY_TODAY, -2)
    await chair.fill(`/crops/weather/new?on=${on}`, { rainMm: '30', reason: 'it poured' })
    await needsAnother(/weather written in the place of what stood there: one day.*rain of 30 mm written in all/)
  })

  it('is rain in a gauge, of many small days too', async () => {
    const { path } = await chair.fill('/crops/weather/gauge', { number: '9', name: 'Upper' })
    const id = path.split('/').at(-1)
    const days = lastDays(3)
    for (const onDate of days.slice(0, 2)) await chair.fill(`/crops/weather/new/${id}`, { onDate, rainMm: '9' })
    expect((await chair.open(LOOK)).words).not.toContain('in the gauges')
    await chair.fill(`/crops/weather/new/${id}`, { onDate: days[2]!, rainMm: '9' })
    await needsAnother('rain of 27 mm in the gauges written in all')
  })

  it('is one level that says much more or less water than the one before', async () => {
    const { form, weirId, lastCm } = await levelOf('1')
    const at = { weirId, readOn: VALLEY_TODAY, readAt: '06:00' }
    await chair.send(form, { ...at, depth: String(lastCm) })
    expect(await mayPublish()).toBe(true)
    // Flow that somebody says to have seen lets any level rule.
    await chair.send(await chair.open('/water/levels/new'), {
      ...at,
      readAt: '06:30',
      depth: String(lastCm - 90),
      flowSeen: 'yes',
    })
    await needsAnother(/the level of weir 1 on 25 Nov 2026: .* m³ to be pumped before, .* m³ now/)
  })

  it('is several levels that say so together', async () => {
    const { weirId, lastCm } = await levelOf('1')
    for (const step of [1, 2, 3, 4]) {
      const typed = { weirId, readOn: VALLEY_TODAY, readAt: `06:${step}0`, flowSeen: 'yes' }
      await chair.send(await chair.open('/water/levels/new'), { ...typed, depth: String(lastCm - 20 * step) })
    }
    await needsAnother('the level of weir 1')
  })
})

describe('a line that rests on the entries of two people', () => {
  it('tells under whose a second name stands', async () => {
    const besi = await valley.signIn('besi')
    await besi.fill('/crops/settle/salt', { percent: '12', fromOn: VALLEY_TODAY })
    const goro = await valley.signIn('goro')
    await goro.send(await goro.open(LOOK), {}, NAMES)
    await chair.fill('/crops/settle/salt', { percent: '10', fromOn: VALLEY_TODAY })
    expect((await chair.open(LOOK)).words).toMatch(
      /washes salt down: settled anew; written by Amaru [^;,]+; written by Besi [^;,]+, second name: Goro/,
    )
  })
})
