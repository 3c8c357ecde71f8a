import { beforeEach, expect, it } from 'vitest'
import { PASSWORD } from '../../../seed/valley.ts'
import { bookedTurns } from '../../../server/rotation/published/turn-store.ts'
import { openValley } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'
import { excuse } from '../outcome/excuse.ts'

// Hila has one turn left this week: plot 8 on Saturday, from 8:25 until 11:10. On the group's phone her mark tells of it before she has signed in.

const WEEK = '2026-11-23'
const SATURDAY = '2026-11-28'
const NEXT = '2026-11-30'

let valley: Awaited<ReturnType<typeof openValley>>
let hila: Visitor
let phone: Visitor
let mark: string
beforeEach(async () => {
  valley = await openValley()
  hila = await valley.signIn('hila')
  await hila.fill('/people/settle/code', { oldPassword: PASSWORD, code: '704213' })
  const { entryId } = await valley.db
    .selectFrom('person')
    .select('entryId')
    .where('signInName', '=', 'hila')
    .executeTakeFirstOrThrow()
  mark = `/sign-in/${entryId}`
  phone = await valley.signIn('amaru')
  await phone.fill('/people/settle/device', { name: 'phone at pump 1' })
  const besi = await valley.signIn('besi')
  const list = await besi.open('/people/devices')
  await besi.send(list, {}, list.html.querySelector('form[action^="/book/names/"]')!.getAttribute('action')!)
})

const asBytes = (answer: unknown, done: (error: Error | null, body: Buffer) => void) => {
  const response = answer as NodeJS.ReadableStream
  const parts: Buffer[] = []
  response.on('data', (part: Buffer) => parts.push(part))
  response.on('end', () => done(null, Buffer.concat(parts)))
}
const soundAt = async (visitor: Visitor, path: string) =>
  (await visitor.agent.get(path).buffer(true).parse(asBytes)).body as Buffer
const turnsOf = async (week: string) =>
  (await bookedTurns(valley.db, week))!.turns.filter(({ plot }) => plot!.holders.includes('Hila Quarm'))

/** The turn of which her mark tells; undefined where it tells of none. */
async function heard(): Promise<string | undefined> {
  const src = (await phone.open(mark)).html.querySelector('audio')?.getAttribute('src')
  if (!src) return undefined
  hila = await valley.signIn('hila')
  const [sound, published] = [await soundAt(phone, src), await bookedTurns(valley.db, NEXT)]
  for (const { bookId } of [...(await turnsOf(WEEK)), ...(published ? await turnsOf(NEXT) : [])])
    if (sound.equals(await soundAt(hila, `/turns/${bookId}.wav`))) return bookId
  throw new Error('no turn of hers')
}

it('is told until the minute in which it ends, and then her first one of the week that comes', async () => {
  const saturday = (await turnsOf(WEEK)).find(({ on }) => on === SATURDAY)!.bookId
  expect(await heard()).toBe(saturday)
  valley.setNow(`${SATURDAY}T11:09:00Z`)
  expect(await heard()).toBe(saturday)
  valley.setNow(`${SATURDAY}T11:10:00Z`)
  expect(await heard()).toBeUndefined()
  const besi = await valley.signIn('besi')
  await besi.send(await besi.open(`/turns/weeks/${NEXT}/publish`), {}, `/turns/weeks/${NEXT}/publish`)
  expect(await heard()).toBe((await turnsOf(NEXT))[0]!.bookId)
})

it('is told no more once it was called off, nor on her first page, nor in the list that is called out at the water', async () => {
  const [card, line] = ['Your turn, Saturday 28 November 08:25–11:10', 'The bee, from 08:25, 530 jerrycans.']
  const told = async () => [
    (await heard()) !== undefined,
    (await hila.open('/')).words.includes(card),
    (await hila.open(`/turns/weeks/${WEEK}?as=aloud`)).words.includes(line),
  ]
  expect(await told()).toEqual([true, true, true])
  await excuse(await valley.signIn('dovi'), (await turnsOf(WEEK)).find(({ on }) => on === SATURDAY)!.bookId)
  expect(await told()).toEqual([false, false, false])
})
