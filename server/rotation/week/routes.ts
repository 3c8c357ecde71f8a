import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays, isCalendarDate, weekEndOn, weekStartOf } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import type { WeekProblem } from '../../../domain/rotation/draft/check.ts'
import { bookableM3 } from '../../../domain/rotation/draft/claims.ts'
import { checkHandedWeek, withoutSecondName } from '../../../domain/rotation/manual-change/week.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { clockMinute, localClock } from '../clock.ts'
import { type LateStandstill, lateStandstills } from '../draft/closures.ts'
import { type OutcomeCause, outcomesOf, saidOf } from '../outcome/store.ts'
import { type Unsettled, unsettledByDay } from '../outcome/unsettled.ts'
import { type PublishedWeek, publishedWeeks, publishWeek } from '../published/store.ts'
import { type BookedTurn, bookedTurnsOf } from '../published/turn-store.ts'
import { handShown } from './changes-shown.ts'
import { orderOfWeek } from './order-words.ts'
import { heldWords, namedShares, type ShownWeek, shownWeek, turnsByDay } from './view.ts'
import { weekValues } from './words.ts'

type WithWeek = { Params: { start: string } }

export function addWeekRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/weeks', { preHandler: may('turns.see') }, async (request, reply) => {
    const group = found(await currentGroup(db))
    const current = weekStartOf(request.visit.today, group.firstWeekday)
    const published = await publishedWeeks(db)
    const starts = [current, addDays(current, 7)]
    const near = starts.map((start) => ({
      start,
      end: weekEndOn(start),
      published: published.find((week) => week.weekStartOn === start) ?? null,
    }))
    const earlier = published.filter((week) => week.weekStartOn < current).reverse()
    return page({ request, reply }, 'rotation/week/list', { title: 'rotation.title', near, earlier, weekEndOn })
  })

  app.get<WithWeek>('/weeks/:start', { preHandler: may('turns.see') }, async (request, reply) => {
    const group = found(await currentGroup(db))
    const week = await weekOr404(request, group)
    return showWeek(request, reply, week, [])
  })

  app.get<WithWeek>('/weeks/:start/sheet', { preHandler: may('turns.see') }, async (request, reply) => {
    const group = found(await currentGroup(db))
    const { week, weekStartOn, lateFaults, turns } = await weekOr404(request, group)
    if (!week?.published) throw new PageError(404, 'rotation.sheet-not-yet')
    return page({ request, reply }, 'rotation/week/sheet', {
      title: 'rotation.sheet-title',
      titleValues: weekValues(request, weekStartOn),
      week,
      days: turnsByDay(week, turns),
      hand: handShown(request, week, onTheSheet(turns)),
      lateFaults,
    })
  })

  app.post<WithWeek & { Body: { digest?: string } }>(
    '/weeks/:start/publication',
    { preHandler: may('week.publish') },
    async (request, reply) => {
      const group = found(await currentGroup(db))
      const shown = await weekOr404(request, group)
      const { week, weekStartOn } = shown
      if (!week) throw new PageError(409, 'rotation.no-rule')
      if (week.published) throw new PageError(409, 'rotation.already-published')
      if (weekEndOn(weekStartOn) < request.visit.today) throw new PageError(409, 'rotation.week-over')
      if (week.digest !== request.body?.digest) {
        return showWeek(request, reply, shown, [{ key: 'rotation.draft-changed', values: {} }])
      }
      const unsigned = withoutSecondName(week.inputs, week.results)
      if (unsigned.length > 0) return showWeek(request, reply, shown, unsigned.map(unsignedWords(week)))
      const problems = checkHandedWeek(week.inputs, week.results)
      if (problems.length > 0) return showWeek(request, reply, shown, problems.map(refusalWords))
      return write(
        { db, request, reply, at: now() },
        (pen) => publishWeek(pen, week.inputs, week.results),
        () => `/turns/weeks/${weekStartOn}`,
      )
    },
  )

  /** What was agreed and what later changes brought in, each with why it was not taken. */
  async function listedTurns(published: PublishedWeek): Promise<ListedTurn[]> {
    const { turns } = await bookedTurnsOf(db, published)
    const ids = turns.map((turn) => turn.bookId)
    const outcomes = await outcomesOf(db, ids)
    return turns.map((turn) => ({ ...turn, missed: saidOf(outcomes, turn.bookId).missed?.cause ?? null }))
  }

  /** The week of the address; its first day must be the group's own first day of a week. */
  async function weekOr404(request: FastifyRequest, group: Group) {
    const { start } = request.params as { start: string }
    if (!isCalendarDate(start) || weekStartOf(start, group.firstWeekday) !== start) {
      throw new PageError(404, 'rotation.no-such-week')
    }
    const week = await shownWeek(db, { group, weekStartOn: start, today: request.visit.today })
    const lateFaults = week?.published ? await lateStandstills(db, week.inputs) : []
    const turns = week?.published ? await listedTurns(week.published) : undefined
    const minute = clockMinute(localClock(now(), group.timeZone))
    const unsettled = turns ? await unsettledByDay(db, turns, { today: request.visit.today, minute }) : []
    return { weekStartOn: start, week, lateFaults, turns, unsettled }
  }
}

interface Problem {
  key: string
  values: Record<string, string | number>
}

/** A judge's objection; it points to a fault of ours, so the code is shown for whoever mends it. */
function refusalWords({ judge, code, values }: WeekProblem): Problem {
  return { key: `rotation.refused-${judge}`, values: { code, values: JSON.stringify(values) } }
}

function unsignedWords({ inputs }: ShownWeek) {
  return ({ plotId }: { plotId: string }): Problem => ({
    key: 'turns.needs-second-name',
    values: { plot: inputs.plots.find((plot) => plot.id === plotId)?.number ?? '' },
  })
}

type ListedTurn = BookedTurn & { missed: OutcomeCause | null }

function onTheSheet(turns: ListedTurn[] | undefined): BookedTurn[] | undefined {
  return turns?.filter((turn) => !turn.droppedBy && !turn.missed)
}

interface WeekFound {
  weekStartOn: string
  week: ShownWeek | null
  lateFaults: LateStandstill[]
  /** Of a published week, with what later changes brought in. */
  turns: ListedTurn[] | undefined
  unsettled: Unsettled[]
}

function showWeek(
  request: FastifyRequest,
  reply: FastifyReply,
  { week, weekStartOn, lateFaults, turns, unsettled }: WeekFound,
  problems: Problem[],
) {
  if (problems.length > 0) reply.code(409)
  return page({ request, reply }, 'rotation/week/page', {
    title: week?.published ? 'rotation.week-title' : 'rotation.draft-title',
    titleValues: weekValues(request, weekStartOn),
    weekStartOn,
    week,
    problems,
    lateFaults,
    unsettled,
    over: weekEndOn(weekStartOn) < request.visit.today,
    days: week ? turnsByDay(week, turns) : [],
    hand: week && handShown(request, week, onTheSheet(turns)),
    spareM3: week ? spareByWeir(week.inputs) : {},
    order: week ? orderOfWeek(week.inputs, request.visit.locale) : '',
    shares: week ? namedShares(week).map((share) => ({ ...share, held: heldWords(week, share) })) : [],
  })
}

/** What the rule leaves unbooked of each weir. */
function spareByWeir(inputs: WeekInputs): Record<string, number> {
  return Object.fromEntries(inputs.weirs.map((weir) => [weir.id, weir.releasableM3 - bookableM3(inputs, weir)]))
}
