import type { CalendarDate } from '../../../domain/calendar.ts'
import type { WeekPump } from '../../../domain/rotation/week/inputs.ts'
import type { PumpFacts } from '../../../domain/rotation/week/turn-facts.ts'
import { sum } from '../../../domain/sum.ts'
import { inForce } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Working } from '../../web/pages/working.ts'
import { listPumps } from '../../works/pump/store.ts'
import { weekValues } from '../week/words.ts'
import { SKIES } from './forms.ts'
import { pumpLogDays, pumpMounts } from './store.ts'

/** How each pump stands today, or one of them, for the pages of what the turns go by. */
export async function pumpLines(db: Database, today: string, only?: string) {
  const mounts = await pumpMounts(db)
  const lines = []
  const pumps = (await listPumps(db, today)).filter(({ id }) => only === undefined || id === only)
  const logs = await pumpLogDays(db, pumps)
  for (const pump of pumps) {
    const mount = inForce(
      mounts.filter((row) => row.pumpId === pump.id),
      today,
    )
    const days = logs.get(pump.id)!.filter((day) => day.wholeDay)
    const counts = SKIES.map((sky) => ({ sky, days: days.filter((day) => day.sky === sky).length }))
    lines.push({ pump, mount: mount?.mount ?? 'fixed', fromOn: mount?.fromOn ?? null, counts })
  }
  return lines
}

interface PumpInWeek {
  weekStartOn: CalendarDate
  pump: WeekPump
  facts: PumpFacts
}

/** What a pump is expected to give in a week, day by day, and why. */
export function flowWorking(desk: Desk, { weekStartOn, pump, facts }: PumpInWeek): Working {
  const { t, format } = desk
  return {
    title: 'pump-flow.flow-title',
    titleValues: { number: pump.number, name: pump.name, ...weekValues(desk, weekStartOn) },
    result: t('pump-flow.flow-result', { volume: format.volume(sum(Object.values(facts.dayM3ByDay))) }),
    doubt: t('pump-flow.flow-doubt'),
    lines: Object.keys(facts.dayM3ByDay).map((day) => flowLine(desk, facts, day, pump.flowM3PerHByDay[day]!)),
    equation: t('pump-flow.flow-equation'),
    source: t('pump-flow.flow-source'),
    back: `/turns/weeks/${weekStartOn}`,
  }
}

function flowLine({ t, format }: Desk, facts: PumpFacts, day: string, flowM3PerHByHour: readonly number[]) {
  const sky = facts.skyByDay[day]!
  const days = facts.loggedDays[sky] ?? 0
  const basis = days > 0 ? t('pump-flow.flow-own-log', { days }) : t('pump-flow.flow-described')
  const hours = flowM3PerHByHour.flatMap((flow, hour) => (flow > 0 ? [`${hour}: ${format.one(flow)}`] : []))
  const byHour = t('pump-flow.flow-hours', { hours: hours.join(', ') })
  return {
    label: `${format.weekday(day)}: ${t(`pump-flow.sky.${sky}`)}`,
    value: `${format.volume(facts.dayM3ByDay[day]!)} ${t('layout.unit-m3')}`,
    source: `${t(`pump-flow.mount.mount.${facts.mount}`)}; ${basis}. ${byHour}`,
  }
}
