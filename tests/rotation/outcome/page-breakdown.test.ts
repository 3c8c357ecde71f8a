import { beforeAll, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { shownWeek } from '../../../server/rotation/week/view.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue } from '../../support/visitor.ts'

const DAY = `/log/days/${VALLEY_TODAY}`
const NEXT = '2026-11-30'

let valley: Awaited<ReturnType<typeof openValley>>
beforeAll(async () => {
  valley = await openValley()
  valley.setNow(`${VALLEY_TODAY}T05:00:00Z`)
})

/** What was due to each plot in the running week, as the next one counts it, by the plot's number. */
async function due(): Promise<Map<number, number>> {
  const group = (await currentGroup(valley.db))!
  const week = (await shownWeek(valley.db, answers.rotation, { group, weekStartOn: NEXT, today: VALLEY_TODAY }))!
  const { entitledM3 } = week.inputs.pastWeeks.at(-1)!
  return new Map(week.inputs.plots.map(({ id, number }) => [number, entitledM3[id] ?? 0]))
}

it('lowers what was due by what a pump that stood still kept back, and by nothing where the sun failed', async () => {
  const dovi = await valley.signIn('dovi')
  const less = async (pump: string, fields: Record<string, string>) => {
    const page = await dovi.open(DAY)
    return dovi.send(page, { pumpId: optionValue(page, 'pumpId', pump), ...fields }, `${DAY}/less`)
  }
  const before = await due()
  await less('Heron', { kind: 'dull', since: '06:00' })
  expect(await due()).toEqual(before)
  const page = await less('Hem', { kind: 'down', since: '06:00', until: '10:00' })
  for (const words of ['Plot 39: 8.6 m³ agreed', '1.3 m³ short', 'Plot 35: 8.9 m³ agreed', 'Plot 13: 6.5 m³ agreed'])
    expect(page.words).toContain(words)
  const after = await due()
  const lost = [...before].map(([number, was]) => [number, Math.round((was - after.get(number)!) * 10) / 10] as const)
  expect(new Map(lost.filter(([, volumeM3]) => volumeM3 !== 0))).toEqual(
    new Map([
      [39, 1.3],
      [35, 2.4],
      [13, 2.4],
    ]),
  )
})
