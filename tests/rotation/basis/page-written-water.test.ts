import { beforeEach, describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { addWeir } from '../../../server/water/sand/description-store.ts'
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
    await chair.fill(`/crops/weather/new/${id}`, { onDate: days[2]!, rainMm: '2' })
    await needsAnother('rain of 20 mm in the gauges written in all')
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

  it('is no level that nobody goes by, because no water was seen to bring it', async () => {
    const { form, weirId, lastCm } = await levelOf('1')
    const rise = { weirId, readOn: VALLEY_TODAY, readAt: '06:00', depth: String(lastCm - 90) }
    expect((await chair.send(form, rise)).status).toBe(200)
    expect((await chair.open(LOOK)).words).not.toContain('the level of weir 1')
    expect(await mayPublish()).toBe(true)
    // The next one is held against the last that was believed.
    const seen = { weirId, readOn: VALLEY_TODAY, readAt: '07:00', depth: String(lastCm - 60), flowSeen: 'yes' }
    await chair.send(await chair.open('/water/levels/new'), seen)
    expect((await chair.open(LOOK)).words.split('the level of weir 1')).toHaveLength(2)
  })

  it('is not the first level of a weir, which is more or less than none', async () => {
    const { entryId: writtenBy } = await valley.db
      .selectFrom('person')
      .select('entryId')
      .where('signInName', '=', 'besi')
      .executeTakeFirstOrThrow()
    const sand = { valleyShape: 'rectangle', sandType: 'coarse-sand', lossCmPerDay: null } as const
    const crest = { crestLevelM: 100, crestHeightM: 2, crestWidthM: 15, bedSlope: 0.01 }
    const marks = { offTakeAboveBedM: 0.2, markAboveCrestM: 0.5 }
    const weir = { number: 9, name: 'Ninth', distanceM: 900, fromOn: '2026-11-01', ...sand, ...crest, ...marks }
    const pen = { writtenBy, writtenAt: `${VALLEY_TODAY}T05:00:00.000Z` }
    const weirId = await valley.db.transaction().execute((trx) => addWeir({ trx, ...pen }, weir))
    const form = await chair.open('/water/levels/new')
    const read = await chair.send(form, {
      weirId,
      readOn: VALLEY_TODAY,
      readAt: '06:00',
      depth: '170',
      flowSeen: 'yes',
    })
    expect(read.status).toBe(200)
    expect((await chair.open(LOOK)).words).not.toContain('the level of weir 9')
    // The second is held against it.
    const again = { weirId, readOn: VALLEY_TODAY, readAt: '07:00', depth: '80', flowSeen: 'yes' }
    await chair.send(await chair.open('/water/levels/new'), again)
    expect((await chair.open(LOOK)).words).toContain('the level of weir 9')
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

describe('water off the list that no meter showed', () => {
  const unmetered = async (use: string, typed: Record<string, string>, plot?: string) => {
    const form = await chair.open(`/log/water?use=${use}&method=volume&on=2026-11-16`)
    const place = optionValue(form, 'place', 'Weir 2 ')
    const of: Record<string, string> = plot === undefined ? {} : { plotId: optionValue(form, 'plotId', `${plot} `) }
    return chair.send(form, { place, unit: 'm3', ...of, ...typed })
  }

  it('is told once it is as much as a small turn, of whatever day, plot by plot and weir by weir', async () => {
    await unmetered('other', { volume: '4' })
    expect(await mayPublish()).toBe(true)
    // Together they are more, though each alone is little.
    await unmetered('irrigation', { volume: '3' }, '36')
    await needsAnother('water for no plot that nobody metered, from weir 2: 4 m³, the last on 16 Nov 2026')
    expect((await chair.open(LOOK)).words).toContain('36 Hila Quarmwater off the list that nobody metered: 3 m³')
    await unmetered('other', { volume: '400' })
    await needsAnother('from weir 2: 404 m³')
  })

  it('is told where it is put right or struck out, of no plot too', async () => {
    const few = await unmetered('other', { volume: '1' })
    const form = await chair.open(`${few.path}/correct`)
    await chair.send(form, { volume: '300', reason: 'a slip of the pen' })
    await needsAnother('a draw of 16 Nov 2026 put right: 1 m³ before, 300 m³ now')
  })

  it('is not what people and animals fetch, which the week keeps by their heads', async () => {
    for (const use of ['drinking', 'stock']) await unmetered(use, { volume: '40' })
    expect(await mayPublish()).toBe(true)
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
