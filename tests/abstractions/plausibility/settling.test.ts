import { expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'
import { optionValue } from '../../support/visitor.ts'

const OWN = 'You wrote an entry that this is about, so somebody else settles it: ask another officer.'
const GAP = 'The reading before this one closed at 3,210.34, this one opens at 3,222.4: 12.06 m³'
const ODD = 'main a[href^="/log/settle/odd/"]'

/** A line of the attendant's begins 12.06 m³ above the closing before it, which another wrote or he himself. */
async function valleyWithGap(writesBefore = 'dovi') {
  const book = await openValley()
  book.setNow('2026-11-25T17:30:00Z')
  const dovi = await book.signIn('dovi')
  const before = await book.signIn(writesBefore)
  await before.fill('/log/turns/2026-11-23-28-d2x29u', { opening: '3210.34', closing: '3210.34' })
  const line = await dovi.fill('/log/turns/2026-11-23-30-d2x29u', { opening: '3222.4', closing: '3223' })
  return { ...book, dovi, before, line, at: `${line.path.replace('lines/drawn', 'settle/odd')}/gap-to-last-reading` }
}

it('a gap is not settled by whoever wrote the reading, who can still put the reading right', async () => {
  const { dovi, line, at, db } = await valleyWithGap()
  const own = await dovi.open('/log/check')
  expect(own.words).toContain('You wrote it, so another officer settles it.')
  expect([own.html.querySelector(ODD), line.html.querySelector(ODD)]).toEqual([null, null])
  const form = await dovi.open(at)
  expect([form.status, form.words.includes(OWN)]).toEqual([200, true])
  const refused = await dovi.send(form, { words: 'air in the pipe' })
  expect([refused.status, refused.words.includes(OWN)]).toEqual([422, true])
  expect(await db.selectFrom('flagSettled').selectAll().where('words', '=', 'air in the pipe').execute()).toEqual([])
  await dovi.fill(`${line.path}/correct`, { opening: '3210.34', closing: '3223', reason: 'read again' })
  expect((await dovi.open('/log/check')).words).not.toContain('3,222.4')
})

it('nor by whoever wrote the reading before it', async () => {
  const { before, at } = await valleyWithGap('elu')
  const refused = await before.send(await before.open(at), { words: 'he misread it' })
  expect([refused.status, refused.words.includes(OWN)]).toEqual([422, true])
})

it('another officer settles it, and its plot, day and water stay to be read beside the words', async () => {
  const { signIn, at } = await valleyWithGap()
  const amaru = await signIn('amaru')
  const open = await amaru.open('/log/check')
  expect(open.words).toContain(
    `1 open point, newest first DayWhat does not fit, and where to look first 25 Nov 2026Plot 5 ▲ ${GAP}`,
  )
  expect(open.html.querySelector(ODD)?.getAttribute('href')).toBe(at)
  const settled = await amaru.fill(at, { words: 'we saw the pipe run dry' })
  expect(settled.words).toContain('Nothing is open')
  const [, below] = settled.words.split('Settled this season')
  expect(below).toContain(`25 Nov 2026, Plot 5 ▲ ${GAP}`)
  expect(below).toContain('25 Nov 2026, 17:30: we saw the pipe run dry (Amaru')
})

it('a turn that two wrote down is settled by neither of them', async () => {
  const { signIn, setNow } = await openValley()
  setNow('2026-11-25T17:30:00Z')
  const [dovi, elu, amaru] = [await signIn('dovi'), await signIn('elu'), await signIn('amaru')]
  const written = { volume: '1', unit: 'm3' }
  await elu.fill('/log/turns/2026-11-23-30-d2x29u?method=volume', written)
  const again = await dovi.fill('/log/turns/2026-11-23-30-d2x29u?method=volume', written)
  const at = `${again.path.replace('lines/drawn', 'settle/odd')}/turn-logged-twice`
  for (const writer of [dovi, elu]) {
    const refused = await writer.send(await writer.open(at), { words: 'it came in two parts' })
    expect([refused.status, refused.words.includes(OWN)]).toEqual([422, true])
  }
  expect((await amaru.fill(at, { words: 'it came in two parts' })).status).toBe(200)
})

/** What two wrote, each the other's, and the matter of the second line; two of a third person's stand beside them. */
const BETWEEN_TWO: [matter: string, first: Record<string, string>, second: Record<string, string>][] = [
  [
    'slip-number-twice',
    { startTime: '06:00', endTime: '06:20', slipNo: '31' },
    { startTime: '07:00', endTime: '07:20', slipNo: '31' },
  ],
  ['overlaps-another-turn', { startTime: '06:00', endTime: '06:20' }, { startTime: '06:10', endTime: '06:30' }],
]

it.each(BETWEEN_TWO)('%s is settled by neither of the two whose lines it is about', async (matter, first, second) => {
  const { signIn, setNow } = await openValley()
  setNow('2026-11-25T17:30:00Z')
  const [dovi, elu, amaru] = [await signIn('dovi'), await signIn('elu'), await signIn('amaru')]
  const write = async (who: typeof dovi, typed: Record<string, string>) => {
    const form = await who.open('/log/water?use=other&method=volume')
    const place = optionValue(form, 'place', 'Outlet 1 ')
    return who.send(form, { place, volume: '0.1', unit: 'm3', ...typed })
  }
  for (const startTime of ['04:00', '05:00'])
    expect((await write(amaru, { startTime, endTime: startTime.replace('00', '20'), slipNo: '32' })).status).toBe(200)
  await write(dovi, first)
  const line = await write(elu, second)
  const at = `${line.path.replace('lines/drawn', 'settle/odd')}/${matter}`
  for (const writer of [dovi, elu]) {
    const refused = await writer.send(await writer.open(at), { words: 'it was so' })
    expect([refused.status, refused.words.includes(OWN)]).toEqual([422, true])
  }
  expect((await amaru.fill(at, { words: 'it was so' })).status).toBe(200)
})
