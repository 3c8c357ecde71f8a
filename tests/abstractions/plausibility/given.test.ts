import { beforeEach, expect, it } from 'vitest'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

/** The first two turns of pump 1 on the day: 07:00 to 08:43 at outlet 7, 08:50 to 12:24 at outlet 6. */
const [FIRST, SECOND] = ['2026-11-23-22-d2x29u', '2026-11-23-24-d2x29u']
const DAY = `/log/days/${VALLEY_TODAY}`
const SAID = 'because the pump was to have given'

let valley: Awaited<ReturnType<typeof openValley>>
let dovi: Visitor
beforeEach(async () => {
  valley = await openValley()
  valley.setNow(`${VALLEY_TODAY}T12:00:00Z`)
  dovi = await valley.signIn('dovi')
})

async function said(gave: string, pump = '1 ') {
  const day = await dovi.open(DAY)
  const pumpId = optionValue(day, 'pumpId', pump)
  expect((await dovi.send(day, { pumpId, kind: 'given', gave }, `${DAY}/less`)).status).toBe(200)
}

const drawn = (turn: string, opening: string, closing: string, endTime: string) =>
  dovi.fill(`/log/turns/${turn}`, { opening, closing, startTime: '07:00', endTime })

it('a reading of before that hour which shows more is odd, and settled neither by its writer nor by whoever said less', async () => {
  await said('2')
  const elu = await valley.signIn('elu')
  const line = await elu.fill(`/log/turns/${FIRST}`, { opening: '3210.34', closing: '3220', endTime: '08:43' })
  expect(line.words).toContain(
    'The day was shared anew because the pump was to have given 2 m³, but by this reading (25 Nov 2026, 08:43) it had given 9.66 m³.',
  )
  const settle = `${line.path.replace('lines/drawn', 'settle/odd')}/pump-gave-more`
  for (const own of [elu, dovi]) expect((await own.fill(settle, { words: 'misread' })).status).toBe(422)
  const amaru = await valley.signIn('amaru')
  expect((await amaru.fill(settle, { words: 'the day was read wrong' })).words).toContain('the day was read wrong')
})

it('goes by the morning’s reading where there is one, and by the last draw that had ended by then', async () => {
  await said('2')
  const round = await dovi.open('/log/round?as=meter')
  await dovi.send(round, { pumpId: optionValue(round, 'pumpId', '1 '), moment: 'dawn', meter: '3210', atTime: '05:50' })
  const first = await drawn(FIRST, '3210.34', '3211', '08:43')
  const second = await drawn(SECOND, '3211', '3216', '11:59')
  expect(first.words).not.toContain(SAID)
  expect(second.words).toContain('it had given 6 m³')
})

it('is odd where the last draw ended just then', async () => {
  await said('2')
  expect((await drawn(FIRST, '3210.34', '3216.34', '12:00')).words).toContain('it had given 6 m³')
})

it.each([
  ['little more than was said, as two readings of a meter differ', '5', '3216.04', '11:59'],
  ['more, but after that hour', '2', '3216', '12:01'],
])('nothing is odd where it shows %s', async (_what, gave, closing, endTime) => {
  await said(gave)
  expect((await drawn(FIRST, '3210.34', closing, endTime)).words).not.toContain(SAID)
})

it('nor where another pump was said to give less', async () => {
  await said('0.5', '2 ')
  expect((await drawn(FIRST, '3210.34', '3220', '08:43')).words).not.toContain(SAID)
})
