import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { applyChange } from '../../../domain/rotation/manual-change/week.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { HandChange, HandRefusal, NewHandChange } from '../../../domain/rotation/week/manual-change.ts'
import { approve } from '../../book/approvals.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { addAmendment } from '../published/amendment-store.ts'
import { TurnAdditionForm, TurnChangeForm, WithdrawalForm } from './forms.ts'
import { addHandChange, findChange, strikeHandChange } from './store.ts'
import { type HandWeek, handWeek, plainTurns, turnById } from './week.ts'

type WithWeek = { Params: { start: string }; Querystring: { turn?: string } }
type WithId = { Params: { id: string } }

/** The committee's hand: on a draft its changes are laid into the reckoned week; after publication each is an amendment. */
export function addHandRoutes(app: FastifyInstance, { db, now }: Parts): void {
  const guard = { preHandler: may('week.publish') }

  app.get<WithWeek>('/weeks/:start/changes', guard, async (request, reply) => {
    const week = await handWeek(db, request)
    return page({ request, reply }, 'rotation/manual-change/list', { title: 'turns.changes-title', week })
  })

  app.get<WithWeek>('/weeks/:start/changes/new', guard, async (request, reply) => {
    const week = await handWeek(db, request)
    const turn = turnById(week, request.query.turn)
    return showChange(request, reply, week, turn.id, emptyForm({ kind: 'move' }))
  })

  app.post<WithWeek & { Body: { turn?: string } }>('/weeks/:start/changes', guard, async (request, reply) => {
    const week = await handWeek(db, request)
    const turn = turnById(week, request.body?.turn)
    const form = readForm(TurnChangeForm, request.body)
    if (!form.ok) return showChange(request, reply, week, turn.id, form)
    const { kind, onDate, start, volume, reason } = form.data
    if (kind === 'lengthen' && volume === null) {
      return showChange(request, reply, week, turn.id, withError(form, 'volume', 'error.missing'))
    }
    const moves = kind === 'move'
    const change: NewHandChange = {
      kind,
      plotId: turn.plotId,
      outletId: turn.outletId,
      wasOn: turn.on,
      on: kind === 'drop' ? null : moves ? (onDate ?? turn.on) : turn.on,
      startMinute: kind === 'drop' ? null : moves && start ? minuteOf(start) : turn.startMinute,
      volumeM3: kind === 'drop' ? null : volume,
      reason,
    }
    if (moves && change.on === turn.on && change.startMinute === turn.startMinute && volume === null) {
      return showChange(request, reply, week, turn.id, withError(form, 'start', 'turns.nothing-changes'))
    }
    const tried = tryChange(week, change)
    if ('refusal' in tried) {
      const field = kind === 'lengthen' ? 'volume' : tried.refusal === 'not-in-week' ? 'onDate' : 'start'
      return showChange(request, reply, week, turn.id, withError(form, field, refusalKey(tried.refusal)))
    }
    return keep(request, reply, { week, change, turnId: turn.bookId, turn: tried.turn })
  })

  app.get<WithWeek>('/weeks/:start/additions/new', guard, async (request, reply) =>
    showAddition(request, reply, await handWeek(db, request), emptyForm()),
  )

  app.post<WithWeek>('/weeks/:start/additions', guard, async (request, reply) => {
    const week = await handWeek(db, request)
    const form = readForm(TurnAdditionForm, request.body)
    if (!form.ok) return showAddition(request, reply, week, form)
    const { plotId, outletId, onDate, start, volume, reason } = form.data
    const plot = week.inputs.plots.find((one) => one.id === plotId)
    if (!plot) return showAddition(request, reply, week, withError(form, 'plotId', 'error.choose'))
    if (!plot.outletIds.includes(outletId)) {
      return showAddition(request, reply, week, withError(form, 'outletId', 'turns.outlet-does-not-reach'))
    }
    const place = { plotId, outletId, wasOn: null, on: onDate, startMinute: minuteOf(start), volumeM3: volume }
    const change: NewHandChange = { kind: 'add', ...place, reason }
    const tried = tryChange(week, change)
    if ('refusal' in tried) {
      const field = tried.refusal.startsWith('beyond-') ? 'start' : 'onDate'
      return showAddition(request, reply, week, withError(form, field, refusalKey(tried.refusal)))
    }
    return keep(request, reply, { week, change, turnId: null, turn: tried.turn })
  })

  app.post<WithId>('/changes/:id/approval', guard, async (request, reply) => {
    const change = found(await findChange(db, request.params.id))
    if (change.approvedByName !== null) throw new PageError(409, 'turns.already-approved')
    if (change.byId === request.person?.id) throw new PageError(409, 'turns.own-name')
    return write(
      { db, request, reply, at: now() },
      (pen) => approve(pen, change.id),
      () => `/turns/weeks/${change.weekStartOn}`,
    )
  })

  app.get<WithId>('/changes/:id/withdrawals/new', guard, async (request, reply) => {
    const change = await openChange(request)
    return showWithdrawal(request, reply, change.id, change.weekStartOn, emptyForm())
  })

  app.post<WithId>('/changes/:id/withdrawals', guard, async (request, reply) => {
    const change = await openChange(request)
    const form = readForm(WithdrawalForm, request.body)
    if (!form.ok) return showWithdrawal(request, reply, change.id, change.weekStartOn, form)
    return write(
      { db, request, reply, at: now() },
      (pen) => strikeHandChange(pen, change.id, form.data.reason),
      () => `/turns/weeks/${change.weekStartOn}`,
    )
  })

  /** A change of a draft may be taken back; what was published with a week stays. */
  async function openChange(request: FastifyRequest) {
    const change = found(await findChange(db, (request.params as { id: string }).id))
    if (change.isFrozen) throw new PageError(409, 'turns.change-frozen')
    return change
  }

  function keep(
    request: FastifyRequest,
    reply: FastifyReply,
    kept: { week: HandWeek; change: NewHandChange; turnId: string | null; turn: PlannedTurn | null },
  ) {
    const { week, change, turnId, turn } = kept
    const { weekStartOn } = week
    return write(
      { db, request, reply, at: now() },
      (pen) =>
        week.isPublished
          ? addAmendment(pen, { weekStartOn, turnId, change, turn })
          : addHandChange(pen, weekStartOn, change),
      () => `/turns/weeks/${weekStartOn}`,
    )
  }
}

/** The change laid into the turns as they stand now, so that what cannot be is told beside the field. */
function tryChange(week: HandWeek, change: NewHandChange): { turn: PlannedTurn | null } | { refusal: HandRefusal } {
  const who = { id: '', byName: '', byId: '', at: '', approvedByName: null }
  const changed = applyChange(week.inputs, plainTurns(week), { ...change, ...who } satisfies HandChange)
  if ('refusal' in changed) return changed
  return { turn: changed.turns.find((turn) => turn.id === changed.turnId) ?? null }
}

function refusalKey(refusal: HandRefusal): string {
  return `turns.refused-${refusal}`
}

function minuteOf(clock: string): number {
  const [hours, minutes] = clock.split(':').map(Number)
  return hours! * 60 + minutes!
}

function showChange(request: FastifyRequest, reply: FastifyReply, week: HandWeek, turnId: string, filled: Filled) {
  const turn = turnById(week, turnId)
  const { format } = request.visit
  return formPage(
    { request, reply },
    {
      title: week.isPublished ? 'turns.amendment-title' : 'turns.change-title',
      titleValues: {
        plot: turn.plot?.number ?? '',
        day: format.weekday(turn.on),
        from: format.clock(turn.startMinute),
        volume: format.one(turn.volumeM3),
      },
      form: TurnChangeForm,
      filled,
      hidden: { turn: turnId },
      action: `/turns/weeks/${week.weekStartOn}/changes`,
      intro: [week.isPublished ? 'turns.amendment-intro' : 'turns.change-intro'],
      back: `/turns/weeks/${week.weekStartOn}`,
    },
  )
}

function showAddition(request: FastifyRequest, reply: FastifyReply, week: HandWeek, filled: Filled) {
  const { plots, outlets } = week.inputs
  return formPage(
    { request, reply },
    {
      title: 'turns.addition-title',
      form: TurnAdditionForm,
      filled,
      options: {
        plotId: plots.map((plot) => ({ value: plot.id, label: `${plot.number} ${plot.holders.join(', ')}` })),
        outletId: outlets.map((outlet) => ({ value: outlet.id, label: `${outlet.number} ${outlet.name}` })),
      },
      action: `/turns/weeks/${week.weekStartOn}/additions`,
      intro: [week.isPublished ? 'turns.amendment-intro' : 'turns.change-intro'],
      back: `/turns/weeks/${week.weekStartOn}`,
    },
  )
}

function showWithdrawal(request: FastifyRequest, reply: FastifyReply, id: string, weekStartOn: string, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'turns.withdrawal-title',
      form: WithdrawalForm,
      filled,
      action: `/turns/changes/${id}/withdrawals`,
      intro: ['turns.withdrawal-intro'],
      back: `/turns/weeks/${weekStartOn}`,
    },
  )
}
