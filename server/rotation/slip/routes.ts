import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { MINUTES_PER_DAY } from '../../../domain/units.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { listPersons } from '../../people/person/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { found } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { localInstant } from '../../web/pages/visit.ts'
import {
  type BookedTurn,
  bookedTurns,
  type PublishedShown,
  replacementOf,
  turnInBook,
} from '../published/turn-store.ts'
import { calendarFile } from './calendar.ts'
import { shortReason } from './reason.ts'
import { smsLink, textMessage } from './text.ts'

type WithId = { Params: { id: string } }
type WithDay = { Params: { start: string; day: string } }

/** The same answer as a slip of paper, as a text message and as an entry of a calendar. */
export function addSlipRoutes(app: FastifyInstance, { db }: Parts): void {
  const guard = { preHandler: may('turns.see') }

  app.get<WithId>('/:id/slip', guard, async (request, reply) => {
    const { week, turn } = await turnOr404(request)
    return showSlips(request, reply, week, [turn])
  })

  app.get<WithDay>('/weeks/:start/days/:day/slips', guard, async (request, reply) => {
    const { start, day } = request.params
    const week = found(await bookedTurns(db, start))
    const turns = week.turns.filter((turn) => turn.on === day && !turn.droppedBy)
    found(week.inputs.days.find((one) => one === day))
    return showSlips(request, reply, week, turns)
  })

  app.get<WithId>('/:id/message', guard, async (request, reply) => {
    const { week, turn } = await turnOr404(request)
    const text = messageOf(request, week, turn)
    return page({ request, reply }, 'rotation/slip/message', {
      title: 'turns.message-title',
      titleValues: { number: turn.plot?.number ?? '' },
      turn,
      text,
      holders: (await phonesOf(turn.plotId, turn.on)).map((holder) => ({
        ...holder,
        href: smsLink(holder.phone, text),
      })),
    })
  })

  app.get<WithId>('/:id.ics', guard, async (request, reply) => {
    const { week, turn } = await turnOr404(request)
    reply.header('content-disposition', `attachment; filename="turn-${turn.bookId}.ics"`)
    return reply.type('text/calendar; charset=utf-8').send(calendarFile([eventOf(request, week, turn)]))
  })

  async function turnOr404(request: FastifyRequest) {
    return found(await turnInBook(db, (request.params as { id: string }).id))
  }

  async function showSlips(request: FastifyRequest, reply: FastifyReply, week: PublishedShown, turns: BookedTurn[]) {
    return page({ request, reply }, 'rotation/slip/page', {
      title: turns.length === 1 ? 'turns.slip-title' : 'turns.slips-title',
      titleValues: { number: turns[0]?.plot?.number ?? '' },
      weekStartOn: week.inputs.weekStartOn,
      groupName: found(await currentGroup(db)).name,
      slips: turns.map((turn) => ({
        turn,
        now: replacementOf(week.turns, turn),
        reason: reasonOf(request, week, turn),
      })),
    })
  }

  /** Who holds the plot on the day of the turn, with the number where there is one. */
  async function phonesOf(plotId: string, on: string): Promise<{ name: string; phone: string | null }[]> {
    const plot = (await listPlots(db, on)).find((one) => one.id === plotId)
    const persons = new Map((await listPersons(db)).map((person) => [person.id, person]))
    return (plot?.holders ?? []).map(({ id, name }) => ({ name, phone: persons.get(id)?.phone ?? null }))
  }
}

function reasonOf({ visit }: FastifyRequest, week: PublishedShown, { plotId }: BookedTurn): string {
  const share = week.results.shares.find((one) => one.plotId === plotId)
  return share ? shortReason(week, share, visit) : ''
}

/** The longest wording comes first; what does not fit a message is left out from the end. */
function messageOf(request: FastifyRequest, week: PublishedShown, turn: BookedTurn): string {
  const { locale } = request.visit
  const values = turnValues(request, turn)
  const [when, stop] = [locale.t('turns.message-when', values), stopWords(request, turn)]
  const reason = reasonOf(request, week, turn)
  const dropped = droppedWords(request, week, turn)
  // By gravity there is no pump meter to go by, so that the mark in the tank comes before the reason.
  const shorter = turn.outlet?.tank ? [`${when} ${stop}`] : [`${when} ${reason}`, `${when} ${stop}`]
  return textMessage(turn.droppedBy ? [dropped] : [`${when} ${stop} ${reason}`, ...shorter, when])
}

/** Of a turn that is off the list: what came in its place, where something did. */
function droppedWords(request: FastifyRequest, week: PublishedShown, turn: BookedTurn): string {
  const { locale } = request.visit
  const was = turnValues(request, turn)
  const now = replacementOf(week.turns, turn)
  if (!now) return locale.t('turns.message-dropped', was)
  const values = { ...turnValues(request, now), wasDay: was.day, wasFrom: was.from, wasTo: was.to }
  return locale.t('turns.message-changed', values)
}

/** When to stop: at the volume or the time; from a tank at the time or at its mark. */
function stopWords(request: FastifyRequest, turn: BookedTurn): string {
  const { locale } = request.visit
  const values = turnValues(request, turn)
  const tank = turn.outlet?.tank
  return tank
    ? locale.t('gravity.stop-short', { ...values, number: tank.number })
    : locale.t('turns.message-stop', values)
}

function turnValues({ visit: { format } }: FastifyRequest, turn: BookedTurn) {
  return {
    plot: turn.plot?.number ?? '',
    outlet: turn.outlet?.number ?? '',
    day: format.date(turn.on),
    from: format.clock(turn.startMinute),
    to: format.clock(turn.endMinute),
    volume: format.one(turn.volumeM3),
    jerrycans: format.jerrycans(turn.volumeM3),
  }
}

function eventOf(request: FastifyRequest, week: PublishedShown, turn: BookedTurn) {
  const { locale } = request.visit
  const values = turnValues(request, turn)
  const at = (minute: number) => instantOf(request, turn.on, minute)
  return {
    uid: `${turn.bookId}@${week.published.id}`,
    startsAt: at(turn.startMinute),
    endsAt: at(turn.endMinute),
    stampedAt: turn.writtenAt,
    sequence: turn.droppedBy ? 1 : 0,
    cancelled: turn.droppedBy !== null,
    summary: locale.t('turns.event-summary', values),
    description: `${stopWords(request, turn)} ${reasonOf(request, week, turn)}`,
    place: locale.t('turns.event-place', {
      number: values.outlet,
      name: turn.outlet?.name ?? '',
      pump: turn.pump?.number ?? '',
    }),
  }
}

/** A clock time that a change of the clocks skips is told an hour later, as the clock then shows. */
function instantOf({ visit: { group, format } }: FastifyRequest, on: string, minute: number): string {
  const timeZone = group?.timeZone ?? 'UTC'
  const last = Math.min(minute, MINUTES_PER_DAY - 1)
  return localInstant(on, format.clock(last), timeZone) ?? localInstant(on, format.clock(last + 60), timeZone)!
}
