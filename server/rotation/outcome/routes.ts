import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays } from '../../../domain/calendar.ts'
import { may as mayDo } from '../../../domain/people/permissions.ts'
import { isFree } from '../../../domain/rotation/swap.ts'
import { write } from '../../book/pen.ts'
import type { Database } from '../../database/connection.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { listPersons } from '../../people/person/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { hasBegun } from '../clock.ts'
import { type BookedTurn, turnInBook } from '../published/turn-store.ts'
import { OutcomeForm, StandInForm } from './forms.ts'
import { settledMissed } from './season.ts'
import { standingWeek } from './standing-week.ts'
import { addOutcome, outcomesOf, saidOf } from './store.ts'

type WithTurn = { Params: { id: string } }

/** What is said of a turn: by the attendant with one tap, by its holder beforehand. */
export function addOutcomeRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.post<WithTurn>('/:id/outcomes', { preHandler: may('water.request') }, async (request, reply) => {
    const turn = await turnOr404(request)
    const form = readForm(OutcomeForm, request.body)
    if (!form.ok || form.data.cause === 'stand-in') throw new PageError(409, 'day.say-what')
    const { cause } = form.data
    const { today, group } = request.visit
    const timeZone = group?.timeZone ?? 'UTC'
    const holderId = await holderOf(request, turn)
    if (!isAttending(request) && (holderId !== request.person?.id || cause !== 'excused')) {
      throw new PageError(403, 'error.page-403')
    }
    if (!isAttending(request) && turn.on < request.visit.today) throw new PageError(409, 'day.not-beforehand')
    if (turn.on > request.visit.today && !['excused', 'here'].includes(cause)) throw new PageError(409, 'day.not-yet')
    if (['no-show', 'late'].includes(cause) && !hasBegun(turn, { today, now: now(), timeZone }))
      throw new PageError(409, 'day.not-begun')
    return write(
      { db, request, reply, at: now() },
      async (pen) => {
        if (cause === 'here' && !(await hoursStillFree(pen.trx, turn))) throw new PageError(409, 'day.hours-given')
        return addOutcome(pen, { turnId: turn.bookId, cause, standInId: null, words: null, forPersonId: holderId })
      },
      () => `/turns/days/${turn.on}`,
    )
  })

  app.get<WithTurn>('/:id/stand-ins/new', { preHandler: may('water.request') }, async (request, reply) =>
    showStandIn(request, reply, await ownTurn(request), emptyForm()),
  )

  app.post<WithTurn>('/:id/stand-ins', { preHandler: may('water.request') }, async (request, reply) => {
    const turn = await ownTurn(request)
    const form = readForm(StandInForm, request.body)
    if (!form.ok) return showStandIn(request, reply, turn, form)
    const { personId: standInId, words } = form.data
    const known = (await listPersons(db)).some((person) => person.id === standInId)
    if (!known) return showStandIn(request, reply, turn, withError(form, 'personId', 'error.choose'))
    const forPersonId = await holderOf(request, turn)
    return write(
      { db, request, reply, at: now() },
      (pen) => addOutcome(pen, { turnId: turn.bookId, cause: 'stand-in', standInId, words, forPersonId }),
      () => `/turns/days/${turn.on}`,
    )
  })

  app.get('/missed-turns', { preHandler: may('turns.see') }, async (request, reply) => {
    const group = found(await currentGroup(db))
    const { today } = request.visit
    const settled = await settledMissed(db, group, today)
    // What was missed today waits from today on, and what may still be made good today has not lapsed.
    const withToday = await settledMissed(db, group, addDays(today, 1))
    const ofToday = withToday.running.filter(({ on }) => on === today)
    const plots = await listPlots(db, today)
    const named = (plotId: string) => plots.find((plot) => plot.id === plotId)
    const counted = (volumes: Record<string, number>) =>
      Object.entries(volumes).map(([plotId, volumeM3]) => ({ plot: named(plotId), volumeM3 }))
    return page({ request, reply }, 'rotation/outcome/missed', {
      title: 'day.missed-title',
      running: [...settled.running, ...ofToday].map((turn) => ({ ...turn, plot: named(turn.plotId) })),
      forfeited: counted(withToday.forfeitedM3),
      lapsed: counted(settled.lapsedM3),
    })
  })

  async function turnOr404(request: FastifyRequest): Promise<BookedTurn> {
    const { turn } = found(await turnInBook(db, (request.params as { id: string }).id))
    if (turn.droppedBy) throw new PageError(409, 'day.turn-gone')
    return turn
  }

  /** Whoever attends may speak for any turn, a member for a turn of an own plot. */
  async function ownTurn(request: FastifyRequest): Promise<BookedTurn> {
    const turn = await turnOr404(request)
    if (!isAttending(request) && (await holderOf(request, turn)) !== request.person?.id) {
      throw new PageError(403, 'error.page-403')
    }
    return turn
  }

  /** The visitor where the plot is theirs, else its first holder. */
  async function holderOf(request: FastifyRequest, turn: BookedTurn): Promise<string | null> {
    const holders = (await listPlots(db, turn.on)).find((plot) => plot.id === turn.plotId)?.holders ?? []
    return (holders.find((holder) => holder.id === request.person?.id) ?? holders[0])?.id ?? null
  }

  async function showStandIn(request: FastifyRequest, reply: FastifyReply, turn: BookedTurn, filled: Filled) {
    const { format } = request.visit
    return formPage(
      { request, reply },
      {
        title: 'day.stand-in.title',
        titleValues: {
          plot: turn.plot?.number ?? '',
          day: format.weekday(turn.on),
          from: format.clock(turn.startMinute),
        },
        form: StandInForm,
        filled,
        options: {
          personId: (await listPersons(db)).map(({ id, number, name }) => ({ value: id, label: `${number} ${name}` })),
        },
        action: `/turns/${turn.bookId}/stand-ins`,
        intro: ['day.stand-in.intro'],
        back: `/turns/days/${turn.on}`,
      },
    )
  }
}

/** A turn that was called off may have been booked by somebody else since. */
async function hoursStillFree(db: Database, turn: BookedTurn): Promise<boolean> {
  const { missed } = saidOf(await outcomesOf(db, [turn.bookId]), turn.bookId)
  const week = await standingWeek(db, (await turnInBook(db, turn.bookId))?.week.inputs.weekStartOn ?? '')
  if (!missed || !week) return true
  const since = week.standing.filter((one) => one.bookId !== turn.bookId && one.writtenAt > missed.at)
  return isFree(week.inputs, since, turn)
}

function isAttending({ person }: FastifyRequest): boolean {
  return mayDo({ roles: person?.roles ?? [], permission: 'abstraction.log' })
}
