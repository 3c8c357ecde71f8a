import { beforeAll, describe, expect, it } from 'vitest'
import { calendarFile } from '../../../server/rotation/slip/calendar.ts'
import { messageLength, smsLink, textMessage } from '../../../server/rotation/slip/text.ts'
import { addTurns } from '../../abstractions/book.ts'
import { openValley } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'
import { rulesBook } from '../rule/book.ts'
import { readCalendar } from './calendar-reader.ts'

let valley: Awaited<ReturnType<typeof openValley>>
let member: Visitor
beforeAll(async () => {
  valley = await openValley()
  member = await valley.signIn('fanta')
})

const lastTurn = () =>
  valley.db.selectFrom('turn').selectAll().orderBy('onDate', 'desc').orderBy('startMinute').executeTakeFirstOrThrow()

describe('the reason of a turn', () => {
  it('stands in five sentences, and one sentence sums it up', async () => {
    const turn = await lastTurn()
    const page = await member.open(`/turns/${turn.id}`)
    expect(page.html.querySelectorAll('ol.reason > li')).toHaveLength(5)
    expect(page.words).toMatch(/(m³ (were asked for|are needed), [\d.]+ m³ are given, because|m³ are given: all that)/)
  })

  it('names the figures of the limit: what it gives of what is wanted from it', async () => {
    const week = await valley.db.selectFrom('publishedWeek').selectAll().orderBy('weekStartOn', 'desc').execute()
    const stored = JSON.parse(week[0]!.results)
    const share = stored.shares.find((one: { heldBy: { kind: string } }) => one.heldBy.kind === 'weir')
    expect(share).toBeDefined()
    const page = await member.open(`/turns/working/why/${week[0]!.weekStartOn}/${share.plotId}`)
    const weir = stored.allocationInput.weirs.find((one: { id: string }) => one.id === share.heldBy.id)
    const [, most, counted] = /gives (\d+(?:\.\d)?) of the (\d+(?:\.\d)?) m³ wanted/.exec(page.words)!
    expect(Math.abs(Number(most) - weir.releasableM3)).toBeLessThan(0.51)
    expect(Number(counted)).toBeGreaterThan(Number(most))
  })
})

describe('the slip', () => {
  it('shows the outlet, the volume, the jerrycans and where to stop', async () => {
    const turn = await lastTurn()
    const page = await member.open(`/turns/${turn.id}/slip`)
    expect(page.html.querySelectorAll('.turn-slip')).toHaveLength(1)
    expect(page.words).toContain(`${turn.volumeM3.toFixed(1)} m³`)
    expect(page.words).toContain('Stop at the meter reading')
  })

  it('comes for all turns of a day at once', async () => {
    const turn = await lastTurn()
    const sameDay = await valley.db.selectFrom('turn').select('id').where('onDate', '=', turn.onDate).execute()
    const start = turn.id.slice(0, 10)
    const page = await member.open(`/turns/weeks/${start}/slips/${turn.onDate}`)
    expect(page.html.querySelectorAll('.turn-slip')).toHaveLength(sameDay.length)
    expect((await member.open(`/turns/weeks/${start}/slips/2020-01-01`)).status).toBe(404)
  })
})

describe('two small turns', () => {
  it('are said on the card of each of them, and on the sheet of their week', async () => {
    const weeks = await valley.db.selectFrom('publishedWeek').selectAll().orderBy('weekStartOn').execute()
    const found = weeks.flatMap(({ weekStartOn, inputs, results }) => {
      const { turns } = JSON.parse(results) as { turns: { id: string; plotId: string }[] }
      const { claims } = JSON.parse(inputs) as { claims: { plotId: string; turns?: { count: number } }[] }
      return claims
        .filter((claim) => (claim.turns?.count ?? 1) > 1)
        .map(({ plotId }) => ({ weekStartOn, plotId, turns: turns.filter((turn) => turn.plotId === plotId).length }))
    })
    const spaced = found.find(({ turns }) => turns === 2)!
    const own = await valley.db
      .selectFrom('turn')
      .select('id')
      .where('plotId', '=', spaced.plotId)
      .where('id', 'like', `${spaced.weekStartOn}%`)
      .orderBy('onDate')
      .execute()
    expect(own).toHaveLength(2)
    for (const { id } of own) {
      const said = 'In two small turns, days apart: the roots cannot hold it at once.'
      expect((await member.open(`/turns/${id}`)).words).toContain(said)
    }
    const sheet = await member.open(`/turns/weeks/${spaced.weekStartOn}/sheet`)
    expect(sheet.words).toContain('so it comes in small turns, days apart')
    expect(sheet.words).toMatch(/turn 1 of 2/)
  })
})

describe('the text message', () => {
  it('never passes 160 characters, for any turn of the season, and the link carries the same words', async () => {
    const turns = await valley.db.selectFrom('turn').select('id').orderBy('id').execute()
    for (const { id } of turns.filter((_, at) => at % 25 === 0)) {
      const page = await member.open(`/turns/${id}?as=message`)
      const text = page.html.querySelector('.message-text')!.text
      expect(text.length).toBeLessThanOrEqual(160)
      expect(text).toMatch(/^Plot \d+: .*outlet \d+/)
      const link = page.html.querySelector('main a[href^="sms:"]')!.getAttribute('href')!
      expect(decodeURIComponent(link.split('?body=')[1]!)).toBe(text)
    }
  })

  it('takes the longest wording that fits', () => {
    const short = 'a'.repeat(160)
    expect(textMessage([`${short}b`, short, 'a'])).toBe(short)
    expect(textMessage(['b'.repeat(200)])).toHaveLength(160)
  })

  it('counts what another script takes: 70 signs in one message, 67 in each of several', () => {
    expect(messageLength('a'.repeat(160))).toEqual({ count: 160, most: 160, parts: 1 })
    expect(messageLength('a'.repeat(161)).parts).toBe(2)
    expect(messageLength('م'.repeat(70))).toEqual({ count: 70, most: 70, parts: 1 })
    expect(messageLength('م'.repeat(71))).toEqual({ count: 71, most: 70, parts: 2 })
    expect(messageLength('م'.repeat(135)).parts).toBe(3)
    // A sign that the seven bits lack makes all of them sixteen.
    expect(messageLength('5 m³')).toEqual({ count: 4, most: 70, parts: 1 })
  })

  it('writes signs that a message has no room for in plain letters', () => {
    expect(textMessage(['5 m³ – Ștefan’s [plot]'])).toBe("5 m3 - Stefan's ?plot?")
    expect(smsLink('+254 700-1', 'a & b')).toBe('sms:+2547001?body=a%20%26%20b')
  })
})

describe('the calendar file', () => {
  it('gives a plain reader the hours of the turn', async () => {
    const turn = await lastTurn()
    const answer = await member.agent.get(`/turns/${turn.id}.ics`)
    expect(answer.headers['content-type']).toContain('text/calendar')
    const [event] = readCalendar(answer.text)
    const at = (minute: number) => Date.parse(`${turn.onDate}T00:00:00Z`) + minute * 60_000 // the valley keeps UTC
    expect(Date.parse(event!.DTSTART!)).toBe(at(turn.startMinute))
    expect(Date.parse(event!.DTEND!)).toBe(at(turn.endMinute))
    expect(event!.SUMMARY).toMatch(/^Water turn, plot \d+: [\d.]+ m³$/)
    expect(event!.UID).toContain(turn.id)
  })

  it('gives a turn in the hour that the clocks skip an hour later, as they then show', async () => {
    // In Chile midnight of 6 September 2026 is followed by half past one: 00:30 would be 04:30 UTC by the clock of before.
    const { db, ada, weirId, plots } = await rulesBook({ timeZone: 'America/Santiago' })
    const { entryId: pumpId } = await db.selectFrom('pump').select('entryId').executeTakeFirstOrThrow()
    const { entryId: outletId } = await db.selectFrom('outlet').select('entryId').executeTakeFirstOrThrow()
    const { entryId: writtenBy } = await db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
    const ids = { weirId, pumpId, outletId, plotId: plots[1]!.id, belaId: writtenBy, chidiId: writtenBy }
    const week = { on: '2026-09-06', weekStartOn: '2026-08-31' }
    const [turnId] = await db
      .transaction()
      .execute((trx) => addTurns({ trx, writtenBy, writtenAt: '2026-06-11T05:00:00.000Z' }, ids, [30], week))
    const [event] = readCalendar((await ada.agent.get(`/turns/${turnId}.ics`)).text)
    // Half past one there is half past four of UTC, half past two half past five.
    expect([event!.DTSTART, event!.DTEND]).toEqual(['2026-09-06T04:30:00Z', '2026-09-06T05:30:00Z'])
  })

  it('folds at 75 octets, escapes, and comes back the same', () => {
    const words = 'Zeile; mit, Komma \\ und\nzwei Zeilen 🌊'.repeat(8)
    const text = calendarFile([
      {
        uid: 'a@b',
        startsAt: '2026-11-25T06:00:00Z',
        endsAt: '2026-11-25T07:30:00Z',
        stampedAt: '2026-11-20T06:00:00Z',
        sequence: 0,
        summary: words,
        description: '',
        place: 'x',
      },
    ])
    for (const line of text.split('\r\n')) expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75)
    expect(text.endsWith('END:VCALENDAR\r\n')).toBe(true)
    expect(readCalendar(text)[0]!.SUMMARY).toBe(words)
  })
})
