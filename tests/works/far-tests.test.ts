import { beforeEach, expect, it } from 'vitest'
import { gapsOf } from '../../server/abstractions/closing/store.ts'
import { listOutlets } from '../../server/works/pump/store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import type { Seen, Visitor } from '../support/visitor.ts'

const NAMED = 'form[action^="/book/names/"]'
const ASKED = 'a bucket test of an outlet, far from the one before, written by Dovi Marrok'

let valley: Awaited<ReturnType<typeof openValley>>
let dovi: Visitor
let outlet: Awaited<ReturnType<typeof listOutlets>>[number]
beforeEach(async () => {
  valley = await openValley()
  valley.setNow('2026-11-25T17:30:00Z')
  dovi = await valley.signIn('dovi')
  outlet = (await listOutlets(valley.db, VALLEY_TODAY)).find(({ number }) => number === 8)!
})

/** Four fills of a drum of 200 litres that make so many times the flow of the last test. */
function tested(times: number): Promise<Seen> {
  const seconds = String((0.2 / (outlet.flowM3PerH! * times)) * 3600)
  const fills = { seconds1: seconds, seconds2: seconds, seconds3: seconds, seconds4: seconds }
  return dovi.fill('/log/tests/bucket', { outletId: outlet.id, containerLitres: '200', ...fills, pumpState: 'clear' })
}

it('half the flow counts at once, is an open point to whoever wrote it, and no more once another officer saw it run', async () => {
  expect((await tested(0.5)).status).toBe(200)
  const now = (await listOutlets(valley.db, VALLEY_TODAY)).find(({ id }) => id === outlet.id)!
  expect(now.flowM3PerH).toBeCloseTo(outlet.flowM3PerH! / 2, 6)
  const own = await dovi.open('/log/check')
  expect(own.words).toContain('1 open point, newest first')
  expect(own.words).toMatch(
    /By a bucket test it gives [\d.]+ m³ an hour, and gave [\d.]+ by a test before it\. It holds, as Dovi/,
  )
  expect(own.html.querySelector(NAMED)).toBeNull()
  expect((await dovi.open('/')).words).not.toContain(ASKED)
  const elu = await valley.signIn('elu')
  expect((await elu.open('/')).words).toContain(ASKED)
  const check = await elu.open('/log/check')
  const named = await elu.send(check, {}, check.html.querySelector(NAMED)!.getAttribute('action')!)
  expect(named.words).toContain('Nothing is open')
  expect((await elu.open('/')).words).not.toContain(ASKED)
})

it('is one of the points that a closing of its pump names, on the days that hold it', async () => {
  const points = async (pumpId: typeof outlet.pumpId, fromOn: string, toOn: string) => {
    const closed = {
      pumpId,
      fromOn,
      toOn,
      meterM3: null,
      firstSlipNo: null,
      lastSlipNo: null,
      timeZone: 'Africa/Nairobi',
    }
    const gaps = await gapsOf(valley.db, closed)
    return gaps.find(({ code }) => code === 'points-open')?.values.count ?? 0
  }
  const before = await points(outlet.pumpId, VALLEY_TODAY, VALLEY_TODAY)
  await tested(1.6)
  expect(await points(outlet.pumpId, VALLEY_TODAY, VALLEY_TODAY)).toBe(Number(before) + 1)
  expect(await points(outlet.pumpId, '2026-11-24', '2026-11-24')).toBe(0)
  const other = (await listOutlets(valley.db, VALLEY_TODAY)).find(({ pumpId }) => pumpId !== outlet.pumpId)!
  expect(await points(other.pumpId, VALLEY_TODAY, VALLEY_TODAY)).toBe(0)
})

it.each([0.7, 1, 1.45])('%d times the flow waits for nobody', async (times) => {
  expect((await tested(times)).status).toBe(200)
  expect((await dovi.open('/log/check')).words).not.toContain('By a bucket test it gives')
})

it('a flow that is written in as a figure waits like a test', async () => {
  const amaru = await valley.signIn('amaru')
  await amaru.fill(`/works/settle/flow/${outlet.id}`, { flow: String(outlet.flowM3PerH! * 2) })
  expect((await amaru.open('/log/check')).words).toContain('It holds, as Amaru Tolle wrote it')
})

it('three steps of one hand that are near each other are far from where it began, until another officer named one', async () => {
  for (const times of [0.8, 0.7]) await tested(times)
  expect((await dovi.open('/log/check')).words).not.toContain('By a bucket test it gives')
  await tested(0.6)
  const flow = outlet.flowM3PerH!
  const shown = (times: number) => (flow * times).toFixed(1)
  const elu = await valley.signIn('elu')
  const check = await elu.open('/log/check')
  expect(check.words).toContain(`it gives ${shown(0.6)} m³ an hour, and gave ${shown(1)} by a test before it`)
  await elu.send(check, {}, check.html.querySelector(NAMED)!.getAttribute('action')!)
  await tested(0.5)
  expect((await dovi.open('/log/check')).words).not.toContain('By a bucket test it gives')
  await tested(0.39)
  expect((await dovi.open('/log/check')).words).toContain(`and gave ${shown(0.6)} by a test before it`)
})
