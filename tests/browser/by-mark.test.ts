import type { Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import type { ClipKey } from '../../domain/people/voice/clips.ts'
import { PASSWORD } from '../../seed/valley.ts'
import { VALLEY_TODAY } from '../support/valley.ts'
import { describeInBrowser } from './chromium.ts'
import { valleyInBrowser } from './windows.ts'

const BOARD = '/turns/weeks/2026-11-23/sheet'
const CODE = '704213'
/** At a pixel of 1/96 inch. */
const MM = 96 / 25.4
/** An A4 sheet on its side, between its margins. */
const PAPER_MM = 277
/** What a small phone shows before anybody moves the page. */
const SCREEN_PX = 740
/** The least that a finger hits. */
const THUMB_PX = 40
const AMARU = 'amaru'

describeInBrowser('somebody who reads nothing, on the group’s phone', () => {
  let valley: Awaited<ReturnType<typeof valleyInBrowser>>
  let phone: Page
  beforeAll(async () => {
    valley = await valleyInBrowser()
    const hila = await valley.signIn('hila')
    await hila.fill('/people/settle/code', { oldPassword: PASSWORD, code: CODE })
    phone = await valley.openWindow()
    await registerTogether(phone)
  }, 600_000)
  afterAll(() => valley?.close())

  /** One officer registers the phone in the hand, another names it from elsewhere, and the first signs out. */
  async function registerTogether(device: Page) {
    await device.goto('/sign-in')
    await device.locator('[name=signInName]').fill(AMARU)
    await device.locator('[name=password]').fill(PASSWORD)
    await device.locator('main form button').first().click()
    await device.waitForURL('/')
    await device.goto('/people/settle/device')
    await device.locator('[name=name]').fill('phone at pump 1')
    await device.locator('main form[method=post] button').first().click()
    const besi = await valley.signIn('besi')
    const list = await besi.open('/people/devices')
    await besi.send(list, {}, list.html.querySelector('form[action^="/book/names/"]')!.getAttribute('action')!)
    await device.locator('form[action="/sign-out"] button').click()
  }

  it('finds the mark on the printed board, taps it, hears the turn, hears what is owed after the code, and calls the turn off', async () => {
    // The mark stands on the paper once for each of Hila's turns, as large as a thumbnail.
    const chair = await valley.openPhone(AMARU, BOARD)
    await chair.emulateMedia({ media: 'print' })
    await chair.setViewportSize({ width: Math.round(PAPER_MM * MM), height: 740 })
    const turns = chair.locator('.board-leaf g.block').filter({ has: chair.locator('title', { hasText: 'Hila' }) })
    expect(await turns.count()).toBe(3)
    const mark = await hrefOf(turns.first().locator('use'))
    expect(mark).toContain('bee')
    for (const turn of await turns.all()) {
      expect(await hrefOf(turn.locator('use'))).toBe(mark)
      expect((await turn.locator('use').boundingBox())!.width).toBeGreaterThan(4 * MM)
    }

    // The same drawing on the phone is the door.
    await phone.goto('/sign-in')
    const door = phone.locator('.pictures a').filter({ has: phone.locator(`use[href="${mark}"]`) })
    expect(await door.count()).toBe(1)
    await thumb(door)
    await door.click()
    const turnSrc = await heardIn(phone.locator('main'))
    expect(turnSrc).toMatch(/^\/sign-in\/.*\.wav$/)

    // Saturday, from 8:25 until 11:10, 530 jerrycans, as the card will say; clip after clip, and no other day.
    const turn = await soundOf(phone, turnSrc)
    expect(turn.status).toBe(206)
    await phone.locator('[name=code]').fill(CODE)
    await phone.locator('main form[method=post] button').first().click()
    await phone.waitForURL('/')
    const card = phone.locator('.turn-card').first()
    const words = (await card.textContent())!
    expect(words).toMatch(/Saturday/)
    expect(words).toMatch(/08:25–11:10/)
    expect(words).toMatch(/530 jerrycans/)
    const said: ClipKey[] = ['picture-bee', 'yourTurn', 'day6', 'from', 'hour8', 'n20', 'n5', 'until', 'hour11', 'n10']
    await saidInOrder(turn.whole, [...said, 'youGet', 'n500', 'and', 'n30', 'jerrycans', 'stopFirst'])
    expect(turn.whole.includes(await clipOf('day3'))).toBe(false)
    expect((await soundOf(phone, await heardIn(card.locator('> div')))).whole.equals(turn.whole)).toBe(true)

    // What is owed is heard once the code was given again, since whoever stands near hears it too.
    await phone.locator('main a[href^="/money/members/"]').first().click()
    const hearing = phone.locator('main a.slip[href$="as=aloud"]')
    // It stands with its picture above the long list, where the thumb is.
    expect((await hearing.boundingBox())!.y).toBeLessThan(SCREEN_PX)
    expect(await hearing.locator('.stub svg').isVisible()).toBe(true)
    await hearing.click()
    expect(await phone.locator('audio').count()).toBe(0)
    expect(await phone.locator('main').textContent()).toContain('Whoever stands near hears it too')
    await phone.locator('main [name=code]').fill(CODE)
    await phone.locator('main form[method=post] button').first().click()
    const account = await soundOf(phone, await heardIn(phone.locator('main')))
    await saidInOrder(account.whole, ['stillToPay', 'n7000'])

    // "I cannot come": what it does can be heard beside the door, and beside the button behind it.
    await phone.goto('/')
    const off = card.locator('li').filter({ has: phone.locator('a[href*="open=turn-"]') })
    const meaning = await soundOf(phone, await heardIn(off))
    await saidInOrder(meaning.whole, ['cannotCome'])
    await thumb(off.locator('a'))
    await off.locator('a').click()
    const button = phone.locator('main button[value=excused]:visible')
    expect(await button.count()).toBe(1)
    await thumb(button)
    const beside = phone
      .locator('main div.no-print')
      .filter({ has: phone.locator('button[value=excused]') })
      .last()
    expect((await soundOf(phone, await heardIn(beside))).whole.equals(meaning.whole)).toBe(true)
    await button.click()
    const [excuse] = await valley.db.selectFrom('turnExcuse').selectAll().where('through', '=', 'Hila Quarm').execute()
    expect(excuse!.onDate).toBe(VALLEY_TODAY)
  })

  async function clipOf(clip: ClipKey): Promise<Buffer> {
    const { sound } = await valley.db
      .selectFrom('voiceClip')
      .select('sound')
      .where('clip', '=', clip)
      .executeTakeFirstOrThrow()
    return Buffer.from(sound)
  }

  /** Each clip begins after the one before it has ended. */
  async function saidInOrder(whole: Buffer, clips: readonly ClipKey[]) {
    let at = 0
    for (const clip of clips) {
      const sound = await clipOf(clip)
      const found = whole.indexOf(sound, at)
      expect([clip, found >= at]).toEqual([clip, true])
      at = found + sound.length
    }
  }
})

function hrefOf(use: Locator): Promise<string> {
  return use.first().evaluate((one) => one.getAttribute('href')!)
}

async function thumb(one: Locator): Promise<void> {
  expect((await one.boundingBox())!.height).toBeGreaterThanOrEqual(THUMB_PX)
}

/** The one player of a place: it loads nothing before it is tapped. */
async function heardIn(place: Locator): Promise<string> {
  const player = place.locator('audio')
  expect(await player.count()).toBe(1)
  expect([await player.getAttribute('preload'), await player.isVisible()]).toEqual(['none', true])
  return (await player.getAttribute('src'))!
}

/** A sound as a player asks for it: a first part, then the whole. */
async function soundOf(phone: Page, src: string): Promise<{ status: number; whole: Buffer }> {
  const part = await phone.request.get(src, { headers: { range: 'bytes=0-99' } })
  const whole = await (await phone.request.get(src)).body()
  expect([part.status(), part.headers()['content-range']]).toEqual([206, `bytes 0-99/${whole.length}`])
  expect((await part.body()).equals(whole.subarray(0, 100))).toBe(true)
  return { status: part.status(), whole }
}
