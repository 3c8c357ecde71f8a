import { group } from 'd3-array'
import type { Id } from '../../../domain/id.ts'
import { phoneSeen } from '../../people/person/phone-state.ts'
import { holderIdsOn, listPlots } from '../../people/plot/store.ts'
import { digitsOf } from '../../web/figures/drawn.ts'
import { chunksOf, namedParts } from '../../web/figures/sheets.ts'
import { type Desk, deskFor, inWordsOf, type Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { listPumps } from '../../works/pump/store.ts'
import { openSheet } from '../published/taken-back-store.ts'
import {
  type BookedTurn,
  bookedTurns,
  type PublishedShown,
  replacementOf,
  turnInBook,
} from '../published/turn-store.ts'
import { meteredTurn, stopReadings } from '../turn-start/stop-state.ts'
import { startsOf } from '../turn-start/store.ts'
import { calendarFile } from './calendar.ts'
import { fullReason } from './reason.ts'
import { messageLength, smsLink } from './text.ts'
import { eventOf, messageOf, reasonOf } from './words.ts'

/** The wheels of a common water meter. Common practice, no source. */
const USUAL_WHEELS = 5

/** The same answer as a slip of paper, as a text message and as an entry of a calendar. */
export function addSlipPages({ get }: Pages): void {
  get('/turns/:id/slip', 'turns.see', showSlip)
  get('/turns/weeks/:start/slips/:day', 'turns.see', showSlipsOfDay)
  get('/turns/:id?as=message', 'turns.see', showMessage)
  get('/turns/:id.ics', 'turns.see', sendCalendar)
}

async function showSlip(desk: Desk<'id'>) {
  const { week, turn } = await turnOr404(desk)
  return showSlips(desk, week, { turns: [turn] })
}

async function showSlipsOfDay(desk: Desk<'start' | 'day'>) {
  const { start, day } = desk.params
  const week = found(await bookedTurns(desk.db, start))
  found(week.inputs.days.find((one) => one === day))
  const openedAt = desk.at.toISOString()
  await openSheet(desk.db, { publishedId: week.published.id, personId: desk.person.id, openedAt })
  const turns = week.turns.filter((turn) => turn.on === day && !turn.droppedBy)
  const byPump = [...group(turns, ({ pump }) => pump?.number ?? 0)].toSorted(([a], [b]) => a - b)
  const { shown, parts } = namedParts(desk, byPump, {
    rowsOf: ([, own]) => own.length,
    nameOf: ([number]) => desk.t('board.pump', { number }),
    whole: desk.t('layout.sheet-all'),
  })
  const ofPart = new Set(shown.flatMap(([, own]) => own))
  // In the order of the day, so that a pad is torn off from the top.
  return showSlips(desk, week, { turns: turns.filter((turn) => ofPart.has(turn)), parts })
}

async function showMessage(desk: Desk<'id'>) {
  const { week, turn } = await turnOr404(desk)
  const holders = await phonesOf(desk, turn)
  const told = await Promise.all(
    holders.map(async (holder) => ({ ...holder, ...(await messageTo(desk, holder.id, { week, turn })) })),
  )
  const texts = [
    ...new Set((told.length > 0 ? told : [await messageTo(desk, null, { week, turn })]).map(({ text }) => text)),
  ]
  return page(desk, 'rotation/slip/message', {
    title: 'slip.message-title',
    titleValues: { number: turn.plot?.number ?? '' },
    turn,
    texts: texts.map((text) => ({ text, length: messageLength(text) })),
    holders: told.map((holder) => ({ ...holder, href: smsLink(holder.phone, holder.text) })),
  })
}

/** The message in the words of whom it is for; of null, of the group. */
async function messageTo(
  desk: Desk,
  personId: Id<'person'> | null,
  { week, turn }: Awaited<ReturnType<typeof turnOr404>>,
) {
  return { text: messageOf(await deskFor(desk, personId), week, turn) }
}

async function sendCalendar(desk: Desk<'id'>) {
  const { week, turn } = await turnOr404(desk)
  desk.reply.header('content-disposition', `attachment; filename="turn-${turn.bookId}.ics"`)
  return desk.reply.type('text/calendar; charset=utf-8').send(calendarFile([eventOf(desk, week, turn)]))
}

async function turnOr404({ db, params }: Desk<'id'>) {
  return found(await turnInBook(db, params.id))
}

/** Cut from one sheet of A4. */
const SLIPS_OF_A_SHEET = 4

interface Slips {
  turns: BookedTurn[]
  /** The doors to the others of a long day. */
  parts?: ReturnType<typeof namedParts>['parts']
}

async function showSlips(desk: Desk, week: PublishedShown, { turns, parts = [] }: Slips) {
  const stops = await stopReadings(desk.db, week.turns.filter((turn) => !turn.droppedBy).map(meteredTurn))
  const starts = await startsOf(desk.db, [...stops.keys()])
  const pumps = await listPumps(desk.db, turns[0]?.on ?? desk.today)
  const holderIds = await holderIdsOn(desk.db, turns[0]?.on ?? desk.today)
  const shown = turns.map(async (turn) => {
    const forWhom = await deskFor(desk, holderIds.get(turn.plotId ?? '')?.[0] ?? null)
    const [startM3, stopM3] = [starts.get(turn.bookId), stops.get(turn.bookId)]
    return {
      turn,
      now: replacementOf(week.turns, turn),
      reason: reasonOf(desk, week, turn, fullReason),
      words: inWordsOf(forWhom),
      wheels: pumps.find(({ id }) => id === turn.pumpId)?.meterDigits ?? USUAL_WHEELS,
      volume: digitsOf(turn.volumeM3),
      // Where the start was read already, the sum is done; else whoever stands at the meter does it.
      start: startM3 === undefined ? null : digitsOf(startM3),
      stop: stopM3 === undefined ? null : digitsOf(stopM3),
    }
  })
  const slips = await Promise.all(shown)
  return page(desk, 'rotation/slip/page', {
    title: turns.length === 1 ? 'slip.title' : 'slip.slips-title',
    titleValues: { number: turns[0]?.plot?.number ?? '' },
    weekStartOn: week.inputs.weekStartOn,
    groupName: desk.group.name,
    parts,
    slips,
    pads: chunksOf(slips, SLIPS_OF_A_SHEET),
  })
}

interface Holder {
  id: Id<'person'>
  name: string
  phone: string | null
}

/** Who holds the plot on the day of the turn, with the number where there is one and the visitor may see it. */
async function phonesOf(desk: Desk, { plotId, on }: BookedTurn): Promise<Holder[]> {
  const plot = (await listPlots(desk.db, on)).find((one) => one.id === plotId)
  const holders = plot?.holders ?? []
  return Promise.all(holders.map(async ({ id, name }) => ({ id, name, phone: (await phoneSeen(desk, id)).phone })))
}
