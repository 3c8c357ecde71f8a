import type { Id } from '../../../domain/id.ts'
import { leftOfEntitlementM3, openWaterM3 } from '../../../domain/rotation/booking.ts'
import { bookableM3 } from '../../../domain/rotation/draft/claims.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { WeekInputs, WeekWeir } from '../../../domain/rotation/week/inputs.ts'
import type { PlannedWeek } from '../../../domain/rotation/week/planned-week.ts'
import { sum } from '../../../domain/sum.ts'
import { type M3, toLitreM3 } from '../../../domain/units.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { type WorkingLine, workingPage } from '../../web/pages/working.ts'
import { standingWeek } from '../outcome/standing-week.ts'
import { weekOr404 } from '../week/view.ts'
import { weekValues } from '../week/words.ts'

/** How what is left of a week's water was worked out: unused by the plan, open to book, and open to one plot. */
export function addLeftPages({ get }: Pages): void {
  get('/turns/working/left/:start/:weirId', 'turns.see', showLeft)
  get('/turns/working/free/:start/:weirId', 'turns.see', showOpen)
  get('/turns/working/part/:start/:plotId', 'turns.see', showLeftOfPlot)
}

async function showLeft(desk: Desk<'start' | 'weirId'>) {
  const { t } = desk
  const { start, weirId } = desk.params
  const { inputs, results } = await weekOr404(desk, start)
  const weir = found(inputs.weirs.find((one) => one.id === weirId))
  return workingPage(desk, {
    title: 'day.left-title',
    titleValues: { name: weir.name, ...weekValues(desk, start) },
    result: t('day.left-result', { volume: tenth(desk, results.leftM3ByWeir[weirId] ?? 0) }),
    lines: [
      ...releasedLines(desk, { start, weir, results }),
      line(desk, 'day.left-spare', weir.releasableM3 - bookableM3(inputs, weir), '/turns/rule'),
      line(desk, 'day.left-turns', volumeOf(ofWeir(inputs, results.turns, weirId)), `/turns/weeks/${start}`),
    ],
    equation: t('day.left-equation'),
    source: t('day.left-source'),
    back: `/turns/weeks/${start}`,
  })
}

async function showOpen(desk: Desk<'start' | 'weirId'>) {
  const { t } = desk
  const { start, weirId } = desk.params
  const week = found(await standingWeek(desk.db, start))
  const { inputs, results, standing: turns } = week
  const weir = found(inputs.weirs.find((one) => one.id === weirId))
  return workingPage(desk, {
    title: 'day.open-title',
    titleValues: { name: weir.name, ...weekValues(desk, start) },
    result: t('day.open-result', { volume: tenth(desk, openWaterM3({ ...week, turns }, weirId)) }),
    lines: [
      ...releasedLines(desk, { start, weir, results }),
      line(desk, 'day.open-turns', volumeOf(ofWeir(inputs, turns, weirId)), `/turns/weeks/${start}/sheet`),
    ],
    equation: t('day.open-equation'),
    source: t('day.left-source'),
    back: '/turns/asked?as=free',
  })
}

async function showLeftOfPlot(desk: Desk<'start' | 'plotId'>) {
  const { t } = desk
  const { start, plotId } = desk.params
  const week = found(await standingWeek(desk.db, start))
  const { standing: turns } = week
  const plot = found(week.inputs.plots.find((one) => one.id === plotId))
  const share = found(week.results.shares.find((one) => one.plotId === plotId))
  const own = turns.filter((turn) => turn.plotId === plotId)
  const why = `/turns/working/why/${start}/${plotId}`
  return workingPage(desk, {
    title: 'day.part-title',
    titleValues: { number: plot.number, ...weekValues(desk, start) },
    result: t('day.part-result', { volume: tenth(desk, leftOfEntitlementM3({ ...week, turns }, plotId)) }),
    lines: [
      line(desk, 'day.part-entitled', share.entitledM3, why),
      line(desk, 'day.part-received', share.receivedM3, why),
      line(desk, 'day.part-turns', volumeOf(own), `/turns/weeks/${start}/sheet`),
    ],
    equation: t('day.part-equation'),
    source: t('day.left-source'),
    back: '/turns/asked?as=free',
  })
}

interface Released {
  start: string
  weir: WeekWeir
  results: Pick<PlannedWeek, 'drinking'>
}

function releasedLines(desk: Desk, { start, weir, results }: Released): WorkingLine[] {
  const href = weir.working ? `/turns/working/given/${start}/${weir.id}` : undefined
  const drinkingM3 = results.drinking.find((one) => one.weirId === weir.id)?.allocatedM3 ?? 0
  return [
    line(desk, 'day.left-released', weir.releasableM3, href),
    line(desk, 'day.left-drinking', drinkingM3, '/water/kept'),
  ]
}

function line({ t, format }: Desk, key: string, volumeM3: M3, href?: string): WorkingLine {
  const told = { label: t(key), value: `${format.toLitre(toLitreM3(volumeM3))} ${t('layout.unit-m3')}` }
  return href ? { ...told, href } : told
}

/** Never more than there is. */
function tenth({ format }: Desk, volumeM3: M3): string {
  return format.tenth(Math.floor(volumeM3 * 10 + 1e-6) / 10)
}

function ofWeir({ pumps }: WeekInputs, turns: readonly PlannedTurn[], weirId: Id<'weir'>): PlannedTurn[] {
  return turns.filter((turn) => pumps.some((pump) => pump.id === turn.pumpId && pump.weirId === weirId))
}

function volumeOf(turns: readonly PlannedTurn[]): number {
  return sum(turns, (turn) => turn.volumeM3)
}
