import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { latinDigits } from '../../domain/digits.ts'
import { describeInBrowser } from './chromium.ts'
import { valleyInBrowser } from './windows.ts'

const WEEK = '/turns/weeks/2026-11-23'

interface Box {
  left: number
  right: number
}

/** What stands on one strip: where the hours are, and each block with what it says and its mark. */
interface SeenStrip {
  hours: { hour: string; at: number }[]
  strips: (Box & { said: string; mark: Box | null })[][]
}

describeInBrowser('a page from right to left', () => {
  let valley: Awaited<ReturnType<typeof valleyInBrowser>>
  beforeAll(async () => {
    valley = await valleyInBrowser()
    const hila = await valley.signIn('hila')
    const own = (await hila.open('/')).html.querySelector('.who a')!.getAttribute('href')!
    await hila.fill(`/people/settle/language/${own.split('/').at(-1)}`, { language: 'ar', digits: 'arab' })
  }, 600_000)
  afterAll(() => valley?.close())

  it('has its own comma on the card, and no Latin one between its words', async () => {
    const phone = await valley.openPhone('hila')
    const card = await phone.locator('.turn-card').first().textContent()
    expect(card).toMatch(/دورك، السبت، ٢٨ نوفمبر/)
    expect(card).not.toMatch(/[\u0600-\u06ff], /)
  })

  it('runs the hours of a week from the right, with every turn within its own, apart from the next, and its mark inside', async () => {
    const phone = await valley.openPhone('hila', WEEK)
    await phone.setViewportSize({ width: 1280, height: 900 })
    expect(await phone.locator('html').getAttribute('dir')).toBe('rtl')
    const { hours, strips } = await seenOn(phone)
    expect(hours.length).toBeGreaterThan(8)
    expect(hours.every(({ hour }) => /^[٠-٩]+$/.test(hour))).toBe(true)
    const [first, last] = [hours[0]!, hours.at(-1)!]
    expect(first.at).toBeGreaterThan(last.at)
    const placeOf = (clock: string) => {
      const [hour = 0, minute = 0] = latinDigits(clock).split(':').map(Number)
      const [from, to] = [first, last].map((one) => Number(latinDigits(one.hour)))
      return first.at + ((hour + minute / 60 - from!) / (to! - from!)) * (last.at - first.at)
    }
    expect(strips.flat().length).toBeGreaterThan(20)
    for (const strip of strips)
      for (const [at, block] of strip.entries()) {
        const [begins, ends] = block.said.match(/[٠-٩]{2}:[٠-٩]{2}/g)!
        expect([block.said, Math.abs(block.right - placeOf(begins!)) < 2]).toEqual([block.said, true])
        expect([block.said, Math.abs(block.left - placeOf(ends!)) < 2]).toEqual([block.said, true])
        const next = strip[at + 1]
        if (next) expect([block.said, next.right <= block.left + 1]).toEqual([block.said, true])
        const { mark } = block
        if (mark) expect([block.said, mark.left > block.left && mark.right < block.right]).toEqual([block.said, true])
      }
    expect(strips.flat().some(({ mark }) => mark !== null)).toBe(true)
  })
})

function seenOn(phone: Page): Promise<SeenStrip> {
  return phone.evaluate(`(() => {
    const box = (one) => { const { left, right } = one.getBoundingClientRect(); return { left, right } }
    const middle = (one) => { const { left, right } = box(one); return (left + right) / 2 }
    const hours = [...document.querySelectorAll('.strip-hours text')].map((one) => ({ hour: one.textContent, at: middle(one) }))
    const strips = [...document.querySelectorAll('.pump-strip')].map((strip) =>
      [...strip.querySelectorAll('a')].map((one) => {
        const mark = one.querySelector('.mk')
        return { ...box(one.querySelector('.ground')), said: one.getAttribute('aria-label'), mark: mark && box(mark) }
      }))
    return { hours, strips }
  })()`)
}
