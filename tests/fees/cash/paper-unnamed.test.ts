import { beforeEach, describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'
import type { Seen, Visitor } from '../../support/visitor.ts'
import { told } from '../book.ts'

const WAITS = 'waits for the name of somebody else who looked at the paper'
const NOT_SAID = 'Cannot say whether the bank agrees, because nobody else has put a name under its statement.'

let valley: Awaited<ReturnType<typeof openValley>>
let fanta: Visitor
let goro: Visitor
let besi: Visitor
let paper: Seen

/** Fanta writes that the coins went to the bank, and what the bank is said to state. */
beforeEach(async () => {
  valley = await openValley()
  valley.setNow('2026-11-25T12:00:00Z')
  fanta = await valley.signIn('fanta')
  goro = await valley.signIn('goro')
  besi = await valley.signIn('besi')
  await fanta.fill('/money/move', { from: 'cash', to: 'bank', amount: '20000', words: 'slip 12' })
  paper = await fanta.fill('/money/bank-paper', { column: 'bank', closing: '20000' })
})

describe('a balance of bank or phone money that only its writer has read', () => {
  it('agrees nowhere until somebody else has looked at the paper', async () => {
    expect(told(paper)).toContain(WAITS)
    expect((await goro.open('/money/held?open=papers')).words).toContain(WAITS)
    for (const who of [goro, besi]) {
      const agree = await who.open('/money/agree')
      expect(agree.words).toContain(NOT_SAID)
      expect(agree.words).toContain(WAITS)
      const first = await who.open('/')
      expect(first.words).toContain('a paper from bank or phone money, brought in by Fanta Brisk')
      expect(first.words).not.toContain('All agrees')
    }
    const form = await besi.open(paper.path)
    expect(form.words).toContain('Ask to see the paper, or the phone, itself')
    await besi.send(form, {})
    expect(told(await fanta.open(paper.path))).toMatch(/agrees to the last coin.*Second name ?Besi Okuru/)
    expect((await goro.open('/money/agree')).words).not.toContain('Cannot say whether the bank')
    const first = await goro.open('/')
    expect(first.words).toContain('All agrees since 1 Nov 2026')
    expect(first.words).not.toContain('brought in by')
  })

  it('does not count once it was declined, and the one before it does', async () => {
    const id = paper.path.split('/').at(-1)
    await goro.fill(`/book/names/${id}/withhold`, { reason: 'the passbook ends with nothing' })
    const agree = await goro.open('/money/agree')
    expect(agree.words).toContain(
      'Cannot say whether the bank agrees, because its statement was declined or withdrawn.',
    )
    const second = await fanta.fill('/money/bank-paper', { column: 'bank', closing: '0' })
    await goro.send(await goro.open(second.path), {})
    await fanta.fill('/money/bank-paper', { column: 'bank', closing: '20000' })
    const third = await fanta.open(
      (await fanta.open('/money/held')).html.querySelector('#papers tbody a')!.getAttribute('href')!,
    )
    await goro.fill(`/book/names/${third.path.split('/').at(-1)}/withhold`, { reason: 'not ours' })
    expect((await goro.open('/money/agree')).words).toMatch(/The bank states XOF 20,000 less than the book/)
  })

  it('is its writer’s word alone where nobody else could look, and shows its lines to nobody who keeps no money', async () => {
    const lines = 'date,in,out,words\n2026-11-25,20000,,Hila Quarm for the group'
    const other = await fanta.fill('/money/bank-paper', { column: 'bank', closing: '20000', lines })
    expect(told(other)).toContain('Hila Quarm for the group')
    const seen = await besi.open(other.path)
    expect(seen.words).toContain('XOF 20,000')
    expect(seen.words).not.toContain('Hila Quarm')
    for (const name of ['hila', 'dovi']) expect((await (await valley.signIn(name)).open(other.path)).status).toBe(403)
  })
})
