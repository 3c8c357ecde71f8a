import { beforeEach, describe, expect, it } from 'vitest'
import { sentTooLate, sentUnasked } from '../../laws/told.ts'
import { openValley } from '../../support/valley.ts'
import { optionValue, type Seen, type Visitor } from '../../support/visitor.ts'
import { told } from '../book.ts'

const WAITS = 'waits for the name of Hila Quarm'
const NOT_SAID = `Cannot say whether the cash agrees, because its count ${WAITS}.`

let valley: Awaited<ReturnType<typeof openValley>>
let fanta: Visitor
let goro: Visitor
let hila: Visitor
let count: Seen

/** Fanta counts alone and writes that Hila counted too. */
beforeEach(async () => {
  valley = await openValley()
  valley.setNow('2026-11-25T12:00:00Z')
  fanta = await valley.signIn('fanta')
  goro = await valley.signIn('goro')
  hila = await valley.signIn('hila')
  const held = (await fanta.open('/money/cash-book')).html.querySelector('tfoot td.n')!.text.replace(/\D/g, '')
  const form = await fanta.open('/money/count')
  count = await fanta.send(form, { counted: held, secondId: optionValue(form, 'secondId', 'Hila Quarm') })
})

/** The row of the last count on the page of what is held. */
const lastRow = async () =>
  (await goro.open('/money/held')).html.querySelector('table.lines tbody tr')!.text.replace(/\s+/g, ' ')

describe('a count under which only its writer stands', () => {
  it('agrees nowhere until the second has signed, and says whose name it waits for', async () => {
    expect(count.words).toContain(WAITS)
    expect(await lastRow()).toContain(WAITS)
    expect(await lastRow()).not.toContain('agrees')
    const agree = await goro.open('/money/agree')
    expect(agree.words).toContain('1 matter is open.')
    expect(agree.words).toContain(NOT_SAID)
    expect(agree.words).toMatch(/on 25 Nov 2026 waits for the name of Hila Quarm/)
    const report = await goro.open('/money/report')
    expect(report.words).toMatch(/The cash was counted .{5,40}: waits for the name of Hila Quarm\./)
    for (const who of [fanta, goro]) {
      const first = await who.open('/')
      expect(told(first)).toMatch(/Cash count of 25.Nov.2026 ?waits for the name of Hila Quarm/)
    }
    expect((await goro.open('/')).words).not.toContain('All agrees')

    await hila.fill(count.path, {}, { action: count.path })
    expect(await lastRow()).toContain('agrees to the last coin')
    expect((await goro.open('/money/agree')).words).not.toContain('Cannot say whether the cash')
    for (const who of [fanta, goro]) expect((await who.open('/')).words).not.toContain(WAITS)
    expect((await goro.open('/')).words).toContain('All agrees since 1 Nov 2026')
  })

  it('is signed by nobody but the second, and not once its writer has withdrawn it', async () => {
    const other = await sentUnasked(valley, goro, { keysOf: '/people/complaints/new', to: count.path })
    expect(other).toMatchObject({ status: 403, written: 0 })
    const id = count.path.split('/').at(-1)
    const late = await sentTooLate(valley, hila, {
      at: count.path,
      action: count.path,
      meanwhile: () => fanta.fill(`/book/names/${id}/withhold`, { reason: 'I counted alone' }),
    })
    expect(late).toMatchObject({ status: 422, written: 0 })
    expect(late.words).toContain('This was declined or withdrawn. Open the page again to see why;')
  })

  it('does not count once it was declined: the one before it does, and where there is none, nobody can say', async () => {
    const id = count.path.split('/').at(-1)
    await hila.fill(`/book/names/${id}/withhold`, { reason: 'I was not there' })
    expect(await lastRow()).toContain('declined or withdrawn, so it does not count')
    expect(await lastRow()).not.toContain('agrees')
    for (const who of [fanta, goro, hila]) expect((await who.open('/')).words).not.toMatch(/waits for|that you counted/)
    const agree = await goro.open('/money/agree')
    expect(agree.words).toContain('On 25 Nov 2026 the cash box was counted: declined or withdrawn')
    expect(agree.words).not.toContain('Cannot say whether the cash')
    const week = await goro.open('/money/agree?period=week&on=2026-11-25')
    expect(week.words).toContain('Cannot say whether the cash agrees, because its count was declined or withdrawn.')
  })
})
