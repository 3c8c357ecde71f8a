import { describe, expect, it } from 'vitest'
import { verifyBook } from '../../../server/book/verify.ts'
import { readingOfInput } from '../../../server/water/level/input.ts'
import { listReadings } from '../../../server/water/level/store.ts'
import { emptyForm } from '../../../server/web/forms/forms.ts'
import { bookWithWeir, errorBeside, readLevel, signInAgain, workingValue } from '../support.ts'

/** What V(y)/V(H) = (y/H)^(m+1) leaves at half height: 0.25, 0.1767767 and 0.125 (derived by integration). */
const HALF_FULL = [
  { valleyShape: 'rectangle', sandM3: 1500, share: 0.25 },
  { valleyShape: 'parabola', sandM3: 800, share: 0.1767767 },
  { valleyShape: 'triangle', sandM3: 500, share: 0.125 },
]

describe('a reading', () => {
  it.each(HALF_FULL)('at half height in a $valleyShape leaves $share of the water', async (half) => {
    const { ada, weirPath } = await bookWithWeir({ valleyShape: half.valleyShape })
    // The mark stands 50 cm above the crest; 1 m below the crest is half of 2 m of sand.
    const reading = await readLevel(ada, 'Fig', { depth: '150' })
    expect(reading.words).toContain('Water level99 m')
    const storage = await ada.open(weirPath.replace('weirs', 'working/store'))
    const wetM3 = half.sandM3 * half.share
    expect(workingValue(storage, 'Wet sand, bed to water level')).toBe(`${Math.round(wetM3)} m³`)
    // Medium sand gives 26 per cent, most likely (Johnson 1967).
    expect(storage.words).toContain(` – ${Math.round(wetM3 * 0.26)} – `)
    expect(storage.words).toContain('Johnson 1967')
  })

  it('gives the low figure at the lowest level, least yield and leanest shape, the high figure at the highest and most', async () => {
    const { ada, weirPath } = await bookWithWeir({ valleyShape: 'rectangle' })
    await readLevel(ada, 'Fig', { depth: '150' })
    // 2 cm either way: 390 x (0.98 / 2)^2 = 93.6 and 390 x (1.02 / 2)^2 = 101.4, by the yield (0.15 to 0.32 about 0.26) and twice or half.
    const [least, most] = [Math.hypot(Math.LN2, Math.log(0.26 / 0.15)), Math.hypot(Math.LN2, Math.log(0.32 / 0.26))]
    expect([93.639 / Math.exp(least), 101.439 * Math.exp(most)].map(Math.round)).toEqual([39, 209])
    const { words } = await ada.open(weirPath.replace('weirs', 'working/store'))
    expect(words).toMatch(/39 – \d+ – 209 m³/)
    // Two figures that count: the low one is rounded down (38.7), the high one up (209.1).
    expect(words).toMatch(/At least 38 m³ can be drawn, most likely \d+, at most 210 m³/)
  })

  it('parts the water at the off-take', async () => {
    const { ada } = await bookWithWeir({ valleyShape: 'rectangle', offTakeAboveBed: '0.5' })
    await readLevel(ada, 'Fig', { depth: '150' })
    const page = await ada.open('/water')
    // 1500 x 0.26 x 0.25 = 97.5 in all; below the off-take (0.5 / 2)^2 x 390 = 24.4; above it 73.1, said to the ten.
    expect(page.words).toContain('at least 28 m³ can be drawn, most likely 70, at most 160 m³')
    // 24.4 / 2.42 = 10.1 and 24.4 x 2.06 = 50.3, by yield and shape.
    expect(page.words).toContain('at least 10 m³ more are left for drawing by hand, at most 51 m³')
  })

  it('above the crest is taken, flagged and explained, and counts as full', async () => {
    const { ada, weirPath } = await bookWithWeir()
    const page = await readLevel(ada, 'Fig', { depth: '40', flowSeen: 'yes' })
    expect(page.status).toBe(200)
    expect(page.words).toContain('Please look again.')
    expect(page.words).toContain('10 cm above the top of the wall')
    expect(
      workingValue(await ada.open(weirPath.replace('weirs', 'working/store')), 'Wet sand, bed to water level'),
    ).toBe('800 m³')
    expect((await ada.open('/water')).words).toContain('The water stands above the top of the wall')
  })

  it('below the bed is taken, flagged and explained, and counts as dry', async () => {
    const { ada, weirPath } = await bookWithWeir()
    const page = await readLevel(ada, 'Fig', { depth: '270' })
    expect(page.words).toContain('20 cm below the bed')
    expect(
      workingValue(await ada.open(weirPath.replace('weirs', 'working/store')), 'Wet sand, bed to water level'),
    ).toBe('0 m³')
  })

  it('that rises with no flow seen is asked about, and not when flow was seen', async () => {
    const { ada } = await bookWithWeir()
    await readLevel(ada, 'Fig', { depth: '150', readOn: '2026-06-02', pumpOffOn: '', pumpOffAt: '' })
    const risen = await readLevel(ada, 'Fig', { depth: '130' })
    expect(risen.words).toContain('20 cm higher than at the last reading')
    const fed = await readLevel(ada, 'Fig', { depth: '100', readAt: '07:00', flowSeen: 'yes' })
    expect(fed.words).not.toContain('higher than at the last reading')
  })

  it.each([
    ['150', '140', false],
    ['150', '139.9', true],
    ['120', '110', false],
    ['110', '100', false],
  ])('from %s to %s cm below the mark has risen by more than ten: %s', async (depth, next, asked) => {
    const { ada } = await bookWithWeir()
    await readLevel(ada, 'Fig', { depth, readOn: '2026-06-02', pumpOffOn: '', pumpOffAt: '' })
    const { words } = await readLevel(ada, 'Fig', { depth: next })
    expect(words.includes('higher than at the last reading')).toBe(asked)
  })

  it('with the pump off from that very moment on is not one with the pump running', async () => {
    const { ada } = await bookWithWeir()
    const page = await readLevel(ada, 'Fig', {
      depth: '150',
      readAt: '06:00',
      pumpOffOn: '2026-06-04',
      pumpOffAt: '06:00',
    })
    expect(page.words).not.toContain('The pump was running')
    expect(page.words).toContain('less than 8 hours')
    const mending = await ada.open(`${page.path}/correct`)
    expect(mending.html.querySelector('[name=pumpOffAt]')?.getAttribute('value')).toBe('06:00')
    expect(mending.html.querySelector('[name=pumpRunning]')?.hasAttribute('checked')).toBe(false)
  })

  it.each([
    [{ pumpRunning: 'yes', pumpOffOn: '', pumpOffAt: '' }, 'The pump was running'],
    [{ pumpOffOn: '2026-06-04', pumpOffAt: '01:00' }, 'less than 8 hours'],
    [{ pumpOffOn: '', pumpOffAt: '' }, 'Nobody wrote since when the pump was off'],
  ])('says what the pump does to it: %j', async (fields, words) => {
    const { ada } = await bookWithWeir()
    expect((await readLevel(ada, 'Fig', { depth: '150', ...fields })).words).toContain(words)
  })

  it('of good habit carries no flag', async () => {
    const { ada } = await bookWithWeir()
    expect((await readLevel(ada, 'Fig', { depth: '150' })).words).not.toContain('Please look again')
  })

  it.each([
    ['readOn', { readOn: '2026-06-05' }, 'still to come'],
    ['readAt', { readAt: '09:00' }, 'still to come'],
    ['readAt', { readAt: 'dawn' }, 'not a clock time'],
    ['depth', { depth: 'deep' }, 'is not a number'],
    ['depth', { depth: '9000' }, 'from -500 to 3,000'],
    ['pumpOffAt', { pumpOffAt: '' }, 'both day and hour'],
    ['pumpOffOn', { pumpOffOn: '' }, 'both day and hour'],
    ['pumpOffAt', { pumpOffOn: '2026-06-04', pumpOffAt: '07:00' }, 'later than the reading'],
    ['pumpRunning', { pumpRunning: 'yes' }, 'Take out one of the two'],
    ['weirId', { weirId: 'none' }, 'Choose one'],
  ])('is refused beside %s for %j, and nothing is written', async (field, fields, words) => {
    const { ada, db } = await bookWithWeir()
    const page = await readLevel(ada, 'Fig', { depth: '150', remark: 'mark painted', ...fields })
    expect(page.status).toBe(422)
    expect(errorBeside(page, field)).toContain(words)
    expect(page.html.querySelector('#remark')?.getAttribute('value')).toBe('mark painted')
    expect(await db.selectFrom('levelReading').selectAll().execute()).toEqual([])
  })

  it('from before the first survey is kept and explained', async () => {
    const { ada } = await bookWithWeir({ fromOn: '2026-06-03' })
    const page = await readLevel(ada, 'Fig', { depth: '150', readOn: '2026-06-02', pumpOffOn: '', pumpOffAt: '' })
    expect(page.words).toContain('described only from a later day on')
  })

  it('older than ten days widens the range and says so', async () => {
    const { ada, setNow, weirPath } = await bookWithWeir({ valleyShape: 'rectangle' })
    await readLevel(ada, 'Fig', { depth: '150' })
    setNow('2026-06-24T05:00:00Z')
    await signInAgain(ada)
    const page = await ada.open('/water')
    expect(page.words).toContain('read 20 days ago')
    expect(page.words).toContain('more than 10 days old')
    // Ten days beyond the tenth add 10 cm: 390 x (0.88 / 2)^2 = 75.5 / 2.42 = 31.2 and 390 x (1.12 / 2)^2 = 122.3 x 2.06 = 252.
    expect((await ada.open(weirPath.replace('weirs', 'working/store'))).words).toMatch(/31 – \d+ – 252 m³/)
    expect(page.words).toMatch(/at least 31 m³ .*at most 260 m³/)
  })
})

it('in the hour that a clock change leaves out is refused beside the hour', () => {
  // On 8 March 2026 the clocks of New York went from 02:00 to 03:00 (tz database).
  const input = {
    weirId: 'w',
    readOn: '2026-03-08',
    readAt: '02:30',
    depth: 150,
    pumpRunning: false,
    pumpOffOn: null,
    pumpOffAt: null,
    flowSeen: false,
    readerId: null,
    remark: null,
  }
  const clock = { timeZone: 'America/New_York', now: new Date('2026-03-09T12:00:00Z') }
  const refused = readingOfInput(input, emptyForm(), clock)
  expect('problem' in refused && refused.problem.errors.readAt?.key).toBe('water.level.no-such-hour')
  const taken = readingOfInput({ ...input, readAt: '03:30' }, emptyForm(), clock)
  expect('reading' in taken && taken.reading.happenedAt).toBe('2026-03-08T07:30:00.000Z')
})

describe('a correction', () => {
  it('keeps both readings visible with the reason, and the storage follows the new one', async () => {
    const { ada, db, weirPath, weirId } = await bookWithWeir({ valleyShape: 'rectangle' })
    const wrong = await readLevel(ada, 'Fig', { depth: '105' })
    const form = await ada.open(`${wrong.path}/correct`)
    expect(form.html.querySelector('#depth')?.getAttribute('value')).toBe('105')
    expect(form.html.querySelector('#pumpOffAt')?.getAttribute('value')).toBe('18:00')
    const right = await ada.send(form, { depth: '150', reason: 'digits swapped' })
    expect(right.words).toContain('Reason: digits swapped')
    const old = await ada.open(wrong.path)
    expect(old.status).toBe(200)
    expect(old.words).toContain('was corrected later and no longer counts')
    expect(old.html.querySelector(`main a[href="${right.path}"]`)).not.toBeNull()
    expect(right.html.querySelector(`main a[href="${wrong.path}"]`)).not.toBeNull()
    expect(
      workingValue(await ada.open(weirPath.replace('weirs', 'working/store')), 'Wet sand, bed to water level'),
    ).toBe('375 m³')
    expect((await listReadings(db)).map(({ depthCm }) => depthCm)).toEqual([150])
    expect((await listReadings(db, { weirId })).at(-1)!.waterLevelM).toBeCloseTo(99, 9)
    expect((await verifyBook(db)).brokenAt).toBeNull()
  })

  it('needs a reason', async () => {
    const { ada, db } = await bookWithWeir()
    const wrong = await readLevel(ada, 'Fig', { depth: '105' })
    const page = await ada.fill(`${wrong.path}/correct`, { depth: '150' })
    expect(errorBeside(page, 'reason')).toContain('Please fill this in')
    expect(await db.selectFrom('levelReading').selectAll().execute()).toHaveLength(1)
  })

  it('of a reading already corrected is sent to its correction', async () => {
    const { ada } = await bookWithWeir()
    const wrong = await readLevel(ada, 'Fig', { depth: '105' })
    await ada.fill(`${wrong.path}/correct`, { depth: '150', reason: 'digits swapped' })
    const again = await ada.open(`${wrong.path}/correct`)
    expect(again.status).toBe(409)
    expect(again.words).toContain('already corrected')
  })
})
