import { describe, expect, it } from 'vitest'
import { pumpReadings } from '../../server/works/tank/store.ts'
import { openValley } from '../support/valley.ts'
import { optionValue } from '../support/visitor.ts'

const EVENING = '2026-11-24'

async function valleyToClose() {
  const book = await openValley()
  const dovi = await book.signIn('dovi')
  const close = async (span: string, fields: Record<string, string>) => {
    const page = await dovi.open('/log/close?as=new')
    const what = {
      span: optionValue(page, 'span', span),
      pumpId: optionValue(page, 'pumpId', '1 Heron'),
      toOn: EVENING,
    }
    return dovi.send(page, { ...what, ...fields })
  }
  const dawn = (await pumpReadings(book.db, { fromOn: EVENING, toOn: EVENING })).find(
    ({ moment }) => moment === 'dawn',
  )!
  return { dovi, close, dawnM3: dawn.reading }
}

describe('the meter at a closing', () => {
  it('ends the last evening: it is no gap, and the day is in the balance of the pump', async () => {
    const { dovi, close, dawnM3 } = await valleyToClose()
    const meterM3 = (dawnM3 + 6.25).toFixed(2)
    const pumpOne = /Pump 1: [^:]*?1 day is not in this sum[^:]*: 24 Nov 2026/
    expect((await dovi.open('/log/working/pumps')).words).toMatch(pumpOne)
    const closed = await close('week', { meter: meterM3 })
    expect(closed.words).toContain(`Water meter, m³${Number(meterM3).toLocaleString('en-GB')}`)
    expect(closed.words).not.toContain('was not read at dusk')
    expect((await dovi.open('/log/working/pumps')).words).not.toMatch(pumpOne)
  })

  it('that nobody read is named for the last evening alone, since the other days end with the next dawn', async () => {
    const { close } = await valleyToClose()
    const gaps = (await close('week', {})).words.match(/was not read at dusk of [^.]+/g)
    expect(gaps).toEqual(['was not read at dusk of 24 Nov 2026'])
  })
})

describe('the season of the pumps', () => {
  it('is headed by the days that were reckoned, also once it is over', async () => {
    const { setNow, signIn } = await openValley()
    setNow('2027-09-01T10:00:00Z')
    const page = await (await signIn('dovi')).open('/log/working/pumps')
    expect(page.words).toContain('The season, 3 Aug 2026 to')
    expect(page.words).not.toContain('The season, 3 Aug 2026 to 1 Sept 2027')
  })
})

describe('a slip number', () => {
  it('on two draws is named on both until somebody settles it', async () => {
    const { dovi } = await valleyToClose()
    const address = '/log/water?use=irrigation'
    const page = await dovi.open(address)
    const where = { place: optionValue(page, 'place', 'Outlet 7'), plotId: optionValue(page, 'plotId', '31') }
    const one = await dovi.fill(address, { ...where, opening: '2599.25', closing: '2600', slipNo: '91300' })
    expect(one.words).not.toContain('carries slip')
    const other = await dovi.fill(address, { ...where, opening: '2600', closing: '2601', slipNo: '91300' })
    expect(other.words).toContain('Another entry carries slip 91300 too. Likely one of the two numbers was misread')
    expect((await dovi.open(one.path)).words).toContain('Another entry carries slip 91300 too.')
    await dovi.fill(`${other.path}/correct`, { slipNo: '91301', reason: 'a 1 was read as a 0' })
    expect((await dovi.open(one.path)).words).not.toContain('carries slip')
  })
})
