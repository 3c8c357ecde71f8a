import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { bookedTurns } from '../../server/rotation/published/turn-store.ts'
import { VALLEY_TODAY } from '../support/valley.ts'
import { describeInBrowser } from './chromium.ts'
import { valleyInBrowser } from './windows.ts'

const PATIENCE_MS = 600_000
const WEEK = '2026-11-23'
/** On the least phone that is counted with, 360 px wide: the longest list page and the most that its header takes. */
const LONGEST_PX = 3000
const HEADER_PX = 108

/** Pages of lists, which grow with the group. */
const LISTS = [
  ['hila', '/'],
  ['dovi', '/'],
  ['amaru', '/'],
  ['fanta', '/'],
  ['goro', '/'],
  ['isko', '/'],
  ['hila', `/turns/weeks/${WEEK}`],
  ['dovi', `/log/days/${VALLEY_TODAY}`],
  ['hila', '/turns/fair'],
  ['hila', '/turns'],
  ['hila', '/crops'],
  ['hila', '/water'],
  ['amaru', '/people'],
  ['fanta', '/money'],
  ['fanta', '/money/members'],
  ['fanta', '/money/agree'],
  ['amaru', '/crops/planting'],
  ['amaru', '/turns/rule'],
  ['dovi', '/log/round?moment=dawn'],
] as const

/** What a person wants, and the links and folds that lead there from the first page, each named by a part of its words. */
interface Task {
  who: string
  /** While the first turn of the day runs, or an hour before it; else noon. */
  clock: 'running' | 'before' | 'noon'
  task: string
  taps: (string | RegExp)[]
  ends: RegExp
}

/** Not “Ask for water”. */
const THE_TAB = /^\s*Water\s*$/

const TASKS: Task[] = [
  {
    who: 'dovi',
    clock: 'running',
    task: 'read the start of a turn',
    taps: ['begins: read the meter'],
    ends: /start\/new$/,
  },
  {
    who: 'dovi',
    clock: 'before',
    task: 'the morning round',
    taps: ['Morning round'],
    ends: /round\/new\?moment=dawn$/,
  },
  { who: 'dovi', clock: 'noon', task: 'less sun, share anew', taps: ['Less sun', 'Half day'], ends: /^\/turns\/days/ },
  { who: 'hila', clock: 'before', task: 'why my next turn', taps: ['Why this much'], ends: /\/plots\// },
  { who: 'hila', clock: 'before', task: 'I cannot come', taps: ['I cannot come'], ends: /^\/turns\/days\// },
  { who: 'hila', clock: 'noon', task: 'what my plot got', taps: ['agreed and drawn'], ends: /record$/ },
  { who: 'hila', clock: 'noon', task: 'ask for water', taps: ['Ask for water'], ends: /requests\/new$/ },
  { who: 'hila', clock: 'noon', task: 'is it fair', taps: ['Turns', 'Is it fair?'], ends: /fairness$/ },
  { who: 'amaru', clock: 'noon', task: 'is it fair', taps: ['Is it fair?'], ends: /fairness$/ },
  { who: 'amaru', clock: 'noon', task: 'how long it lasts', taps: ['How long it lasts'], ends: /outlook$/ },
  { who: 'goro', clock: 'noon', task: 'does it agree', taps: ['Does it agree?'], ends: /reconciliation$/ },
  { who: 'dovi', clock: 'noon', task: 'water at the stand', taps: ['The log of today', 'Drinking stand'], ends: /new/ },
  {
    who: 'dovi',
    clock: 'noon',
    task: 'water off the list',
    taps: ['The log of today', 'Draw off the list'],
    ends: /new/,
  },
  { who: 'dovi', clock: 'noon', task: 'a level', taps: ['The log of today', 'Write in a level'], ends: /levels\/new/ },
  {
    who: 'dovi',
    clock: 'noon',
    task: 'close the day',
    taps: ['The log of today', 'Closing the day'],
    ends: /closings/,
  },
  { who: 'dovi', clock: 'noon', task: 'a bucket test', taps: ['The log of today', 'Flow tests'], ends: /flow-tests/ },
  { who: 'hila', clock: 'noon', task: 'what I have to pay', taps: ['To pay'], ends: /statements\/|^\/money$/ },
  { who: 'hila', clock: 'noon', task: 'the price of water', taps: ['Money', 'Price of water'], ends: /tariffs$/ },
  { who: 'hila', clock: 'noon', task: 'free hours', taps: ['Turns', 'Open hours to book'], ends: /slots/ },
  { who: 'hila', clock: 'noon', task: 'the week', taps: ['Turns', '23 Nov 2026 to'], ends: /weeks\/2026-11-23$/ },
  { who: 'fanta', clock: 'noon', task: 'take a payment', taps: ['Money', 'Take a payment'], ends: /payments\/new$/ },
  { who: 'fanta', clock: 'noon', task: 'charges', taps: ['Money', 'Charges to write'], ends: /charges\/new$/ },
  { who: 'fanta', clock: 'noon', task: 'who has to pay', taps: ['Money', 'Still to pay'], ends: /arrears$/ },
  {
    who: 'fanta',
    clock: 'noon',
    task: 'count',
    taps: ['Money', 'More about money', 'Cash counts'],
    ends: /cash-counts$/,
  },
  { who: 'amaru', clock: 'noon', task: 'the draft', taps: ['Turns', '30 Nov 2026 to'], ends: /weeks\/2026-11-30$/ },
  { who: 'goro', clock: 'noon', task: 'dry stages', taps: [THE_TAB, 'Drought stages'], ends: /drought/ },
  { who: 'amaru', clock: 'noon', task: 'the rule', taps: ['Turns', 'Sharing rule'], ends: /sharing-rule$/ },
  { who: 'amaru', clock: 'noon', task: 'who asked', taps: ['Turns', 'What was asked for'], ends: /requests$/ },
  { who: 'amaru', clock: 'noon', task: 'what may we plant', taps: ['Crops', 'What may be planted'], ends: /planting$/ },
  { who: 'goro', clock: 'noon', task: 'the whole book', taps: ['The whole book'], ends: /print|paper/ },
  { who: 'isko', clock: 'noon', task: 'the turns', taps: ['Turns', '23 Nov 2026 to'], ends: /weeks\/2026-11-23$/ },
  { who: 'isko', clock: 'noon', task: 'where the water went', taps: ['Where the water went'], ends: /balance$/ },
  { who: 'isko', clock: 'noon', task: 'the share of the stream', taps: ["The stream's share"], ends: /stream-share$/ },
]

describeInBrowser('a phone in the hand', () => {
  let valley: Awaited<ReturnType<typeof valleyInBrowser>>
  beforeAll(async () => {
    valley = await valleyInBrowser()
  }, PATIENCE_MS)
  afterAll(() => valley?.close())

  it.each(LISTS)('shows %s %s in at most three thousand pixels under a small header', async (who, path) => {
    const phone = await valley.openPhone(who, path)
    const [page, header] = [await phone.locator('html').boundingBox(), await phone.locator('header').boundingBox()]
    expect(page!.height).toBeLessThanOrEqual(LONGEST_PX)
    expect(header!.height).toBeLessThanOrEqual(HEADER_PX)
  })

  it.each(TASKS)('brings $who to “$task” in the stated taps', async ({ who, clock, taps, ends }) => {
    await setClock(clock)
    const phone = await valley.openPhone(who)
    for (const words of taps) await tap(phone, words)
    const { pathname, search } = new URL(phone.url())
    expect(pathname + search).toMatch(ends)
  })

  async function setClock(clock: Task['clock']) {
    if (clock === 'noon') return valley.setNow(`${VALLEY_TODAY}T12:00:00Z`)
    const { turns } = (await bookedTurns(valley.db, WEEK))!
    const first = turns.filter(({ on, droppedBy }) => on === VALLEY_TODAY && !droppedBy)[0]!
    const minute = clock === 'running' ? first.startMinute + 5 : first.startMinute - 60
    const pair = (value: number) => String(value).padStart(2, '0')
    valley.setNow(`${VALLEY_TODAY}T${pair(Math.floor(minute / 60))}:${pair(minute % 60)}:00Z`)
  }
})

/** The first link, fold or button that has the words; what one cannot see cannot be tapped. */
async function tap(phone: Page, words: string | RegExp): Promise<void> {
  await phone.locator('a:visible, summary:visible, button:visible', { hasText: words }).first().click()
  await phone.waitForLoadState()
}
