import { beforeEach, describe, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { shownDay } from '../../../server/rotation/day/lines.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { answersOf, optionValue, type Visitor } from '../../support/visitor.ts'
import { excuse } from '../outcome/excuse.ts'

const DAY = `/log/days/${VALLEY_TODAY}`
/** Noon in the valley, which keeps the hours of UTC. */
const NOON = 12 * 60

let valley: Awaited<ReturnType<typeof openValley>>
let attendant: Visitor
beforeEach(async () => {
  valley = await openValley()
  valley.setNow(`${VALLEY_TODAY}T12:00:00Z`)
  attendant = await valley.signIn('dovi')
})

const tenths = ({ volumeM3 }: { volumeM3: number }) => Math.round(volumeM3 * 10) / 10
const lines = async () =>
  (await shownDay(valley.db, answers.rotation, (await currentGroup(valley.db))!, VALLEY_TODAY)).lines
const change = async (pumpId: string, kind: string, since: string) => {
  const page = await attendant.open(DAY)
  const fields = { pumpId, kind: optionValue(page, 'kind', kind), since }
  return attendant.send(page, fields, `${DAY}/less`)
}

const say = async (bookId: string, cause: string) => {
  const page = await attendant.open(DAY)
  const form = page.html.querySelector(`form[action="/turns/${bookId}/became"]`)!
  const hidden = form
    .querySelectorAll('input')
    .map((input) => [input.getAttribute('name'), input.getAttribute('value')])
  await attendant.agent
    .post(`/turns/${bookId}/became`)
    .type('form')
    .send({ ...Object.fromEntries(hidden), cause })
}

describe('a turn of today', () => {
  it('that was missed is told on the same day as one that waits, or as lost', async () => {
    const [excused, lost] = (await lines()).filter(({ state }) => state === 'open')
    expect((await attendant.open('/turns/fair?as=missed')).words).toContain('Nothing waits to be made good.')
    await excuse(attendant, excused!.turn.bookId)
    await say(lost!.turn.bookId, 'no-show')
    const page = await attendant.open('/turns/fair?as=missed')
    expect(page.words).not.toContain('Nothing waits to be made good.')
    expect(page.words).toContain(`Plot ${excused!.turn.plot!.number}: ${tenths(excused!.turn)} m³ of Wednesday`)
    expect(page.words).toContain(`Plot ${lost!.turn.plot!.number}: ${tenths(lost!.turn)} m³`)
  })

  it('that is over is not offered for a swap', async () => {
    const all = await lines()
    const over = all.find(({ turn }) => turn.endMinute <= NOON)!
    const later = all.find(({ turn }) => turn.startMinute > NOON && turn.plotId !== over.turn.plotId)!
    const form = await attendant.open(`/turns/${later.turn.bookId}/otherwise?as=swap`)
    const offered = answersOf(form, 'otherTurnId').map(({ value }) => value)
    expect(offered.length).toBeGreaterThan(2)
    expect(offered).not.toContain(over.turn.bookId)
    const answer = await attendant.send(form, { otherTurnId: over.turn.bookId, payer: 'taker' })
    expect(answer.status).toBe(422)
  })
})

describe('a day that was shared anew', () => {
  it('calls nobody to an hour that is over, whatever hour was typed', async () => {
    const before = (await lines()).filter(({ state, turn }) => state === 'open' && turn.startMinute > NOON)
    const { pumpId } = before[0]!.turn
    const underWay = (await lines())
      .filter(({ turn }) => turn.startMinute < NOON && turn.endMinute > NOON)
      .map(({ turn }) => turn)
    for (const line of await lines()) {
      if (line.turn.pumpId !== pumpId || line.state !== 'open' || line.turn.endMinute > NOON) continue
      const page = await attendant.open(DAY)
      const form = page.html.querySelector(`form[action="/turns/${line.turn.bookId}/became"]`)!
      const hidden = form
        .querySelectorAll('input')
        .map((input) => [input.getAttribute('name'), input.getAttribute('value')])
      const said = { ...Object.fromEntries(hidden), cause: 'no-show' }
      await attendant.agent.post(`/turns/${line.turn.bookId}/became`).type('form').send(said)
    }
    expect((await change(pumpId, 'Dull day', '03:00')).status).toBe(200)
    const brought = (await lines()).filter(({ turn }) => turn.amendment && turn.pumpId === pumpId)
    expect(brought.length).toBeGreaterThan(0)
    // A turn that was under way keeps its own beginning, and may have had its smaller part already; every other one begins from now on.
    for (const { turn } of brought) {
      const under = underWay.find(({ plotId }) => plotId === turn.plotId)
      if (under) expect(turn.startMinute).toBe(under.startMinute)
      else expect(turn.startMinute).toBeGreaterThanOrEqual(NOON)
    }
  })

  it('sends whoever opens a changed turn to what holds now, over two changes', async () => {
    const later = (await lines()).filter(({ state, turn }) => state === 'open' && turn.startMinute > NOON)
    const { pumpId } = later.toSorted((a, b) => b.turn.volumeM3 - a.turn.volumeM3)[0]!.turn
    await change(pumpId, 'Half', '12:10')
    await change(pumpId, 'Dull day', '12:20')
    const ofPlot = (plotId: string) => later.find((line) => line.turn.plotId === plotId && line.turn.pumpId === pumpId)
    const changed = (await lines()).filter((line) => line.turn.amendment && !line.turn.droppedBy)
    const now = changed.find((line) => ofPlot(line.turn.plotId))!
    const { turn } = ofPlot(now.turn.plotId)!
    const volume = now.turn.volumeM3.toFixed(1)
    const slip = await attendant.open(`/turns/${turn.bookId}/slip`)
    expect(slip.words).toContain('This turn was changed. Now it is')
    expect(slip.words).toContain(`${volume} m³`)
    expect(slip.html.querySelector(`a[href="/turns/${now.turn.bookId}/slip"]`)).not.toBeNull()
    const message = (await attendant.open(`/turns/${turn.bookId}?as=message`)).html.querySelector('.message-text')!.text
    expect(message).toMatch(/is changed\. Now .*m3\.$/)
    expect(message.length).toBeLessThanOrEqual(160)
    expect((await attendant.open(`/turns/${turn.bookId}`)).words).toContain(
      'Changed later; what holds now is in this list.',
    )
  })

  it('says by how much a turn is short so that the shown figures agree, and that changed turns stand twice', async () => {
    const { turn } = (await lines()).find(({ state, turn }) => state === 'open' && turn.startMinute > NOON)!
    const page = await change(turn.pumpId, 'Dull day', '12:00')
    expect(page.words).toContain('A turn that was changed stands here twice')
    const told = [...page.words.matchAll(/([\d.]+) m³ agreed at [\d:]+, now ([\d.]+) m³ at .*? ([\d.]+) m³ short/g)]
    expect(told.length).toBeGreaterThan(0)
    for (const [words, was, now, short] of told)
      expect(Math.round(Number(was) * 10) - Math.round(Number(now) * 10), words).toBe(Math.round(Number(short) * 10))
  })
})
