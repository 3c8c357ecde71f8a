import type { FastifyInstance, FastifyRequest } from 'fastify'
import { leftOfEntitlementM3, openWaterM3 } from '../../../domain/rotation/booking.ts'
import { bookableM3 } from '../../../domain/rotation/draft/claims.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { sum } from '../../../domain/sum.ts'
import { toLitreM3 } from '../../../domain/units.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { found } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { type WorkingLine, workingPage } from '../../web/pages/working.ts'
import { standingWeek } from '../outcome/standing-week.ts'
import { shownWeek } from '../week/view.ts'
import { weekValues } from '../week/words.ts'

type WithWeir = { Params: { start: string; weirId: string } }
type WithPlot = { Params: { start: string; plotId: string } }

/** How what is left of a week's water was worked out: unused by the plan, open to book, and open to one plot. */
export function addWaterWorkingRoutes(app: FastifyInstance, { db }: Parts): void {
  const guard = { preHandler: may('turns.see') }

  app.get<WithWeir>('/weeks/:start/weirs/:weirId/left', guard, async (request, reply) => {
    const { start, weirId } = request.params
    const group = found(await currentGroup(db))
    const { inputs, results } = found(
      (await shownWeek(db, { group, weekStartOn: start, today: request.visit.today })) ?? undefined,
    )
    const weir = found(inputs.weirs.find((one) => one.id === weirId))
    const { t } = request.visit.locale
    return workingPage(
      { request, reply },
      {
        title: 'day.left-title',
        titleValues: { name: weir.name, ...weekValues(request, start) },
        result: t('day.left-result', { volume: tenth(request, results.leftM3ByWeir[weirId] ?? 0) }),
        lines: [
          ...released(request, { start, weir, drinkingM3: drinkingOf(results, weirId) }),
          line(request, 'day.left-spare', weir.releasableM3 - bookableM3(inputs, weir), '/turns/sharing-rule'),
          line(request, 'day.left-turns', sumOf(ofWeir(inputs, results.turns, weirId)), `/turns/weeks/${start}`),
        ],
        equation: t('day.left-equation'),
        source: t('day.left-source'),
        back: `/turns/weeks/${start}`,
      },
    )
  })

  app.get<WithWeir>('/weeks/:start/weirs/:weirId/open', guard, async (request, reply) => {
    const { start, weirId } = request.params
    const week = found(await standingWeek(db, start))
    const weir = found(week.inputs.weirs.find((one) => one.id === weirId))
    const { t } = request.visit.locale
    return workingPage(
      { request, reply },
      {
        title: 'day.open-title',
        titleValues: { name: weir.name, ...weekValues(request, start) },
        result: t('day.open-result', {
          volume: tenth(request, openWaterM3({ ...week, turns: week.standing }, weirId)),
        }),
        lines: [
          ...released(request, { start, weir, drinkingM3: drinkingOf(week.results, weirId) }),
          line(
            request,
            'day.open-turns',
            sumOf(ofWeir(week.inputs, week.standing, weirId)),
            `/turns/weeks/${start}/sheet`,
          ),
        ],
        equation: t('day.open-equation'),
        source: t('day.left-source'),
        back: '/turns/slots',
      },
    )
  })

  app.get<WithPlot>('/weeks/:start/plots/:plotId/left', guard, async (request, reply) => {
    const { start, plotId } = request.params
    const week = found(await standingWeek(db, start))
    const plot = found(week.inputs.plots.find((one) => one.id === plotId))
    const share = found(week.results.shares.find((one) => one.plotId === plotId))
    const { t } = request.visit.locale
    const why = `/turns/weeks/${start}/plots/${plotId}`
    const own = week.standing.filter((turn) => turn.plotId === plotId)
    return workingPage(
      { request, reply },
      {
        title: 'day.part-title',
        titleValues: { number: plot.number, ...weekValues(request, start) },
        result: t('day.part-result', {
          volume: tenth(request, leftOfEntitlementM3({ ...week, turns: week.standing }, plotId)),
        }),
        lines: [
          line(request, 'day.part-entitled', share.entitledM3, why),
          line(request, 'day.part-received', share.receivedM3, why),
          line(request, 'day.part-turns', sumOf(own), `/turns/weeks/${start}/sheet`),
        ],
        equation: t('day.part-equation'),
        source: t('day.left-source'),
        back: '/turns/slots',
      },
    )
  })
}

function released(
  request: FastifyRequest,
  { start, weir, drinkingM3 }: { start: string; weir: WeekInputs['weirs'][number]; drinkingM3: number },
): WorkingLine[] {
  const href = weir.working ? `/turns/weeks/${start}/weirs/${weir.id}` : undefined
  return [
    line(request, 'day.left-released', weir.releasableM3, href),
    line(request, 'day.left-drinking', drinkingM3, '/water/reserve'),
  ]
}

function line({ visit }: FastifyRequest, key: string, volumeM3: number, href?: string): WorkingLine {
  const value = `${visit.format.toLitre(toLitreM3(volumeM3))} ${visit.locale.t('layout.unit-m3')}`
  return { label: visit.locale.t(key), value, ...(href ? { href } : {}) }
}

/** Never more than there is. */
function tenth({ visit }: FastifyRequest, volumeM3: number): string {
  return visit.format.tenth(Math.floor(volumeM3 * 10 + 1e-6) / 10)
}

function drinkingOf({ drinking }: { drinking: readonly { weirId: string; allocatedM3: number }[] }, weirId: string) {
  return drinking.find((one) => one.weirId === weirId)?.allocatedM3 ?? 0
}

function ofWeir({ pumps }: WeekInputs, turns: readonly PlannedTurn[], weirId: string): PlannedTurn[] {
  return turns.filter((turn) => pumps.some((pump) => pump.id === turn.pumpId && pump.weirId === weirId))
}

function sumOf(turns: readonly PlannedTurn[]): number {
  return sum(turns, ({ volumeM3 }) => volumeM3)
}
