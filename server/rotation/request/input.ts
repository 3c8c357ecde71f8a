import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import type { WrittenVolume } from '../../people/measure/volume-state.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import type { readForm } from '../../web/forms/forms.ts'
import { listOutlets } from '../../works/pump/store.ts'
import { clockHour } from '../clock.ts'
import { dayInWeek } from '../day-in-week.ts'
import { volumeTyped, type Wrong } from '../typed-volume.ts'
import { urgentInMonth, urgentQuotaOn } from './detail-store.ts'
import type { RequestForm } from './forms.ts'
import type { NewRequest, RequestTime } from './store.ts'

type RequestData = NonNullable<ReturnType<typeof readForm<typeof RequestForm.fields>>['data']>

interface Asking {
  today: string
  timeZone: string
  /** Urgent requests of the plot that stand on the same page and are not written yet. */
  urgentOnPage?: number
}

/** What somebody asks for, from the screen or from a line of paper, or the field that must be mended. */
export async function requestOfInput(
  db: Database,
  { plotId, weekStartOn, volume, askedIn, outletId, urgent, everyWeek, ...typed }: RequestData,
  { today, timeZone, urgentOnPage = 0 }: Asking,
): Promise<{ plot: Plot; asked: Omit<NewRequest, 'forPersonId'> } | Wrong> {
  const plot = (await listPlots(db, weekStartOn)).find((one) => one.id === plotId)
  if (!plot) return { field: 'plotId', key: 'error.choose' }
  const asking = await volumeOf(db, { plot, today, amount: volume, unit: askedIn, outletId })
  if ('field' in asking) return asking
  const times = requestTimes(typed)
  if ('field' in times) return times
  const quota = await urgentQuotaOn(db, today)
  if (urgent !== null && (await urgentInMonth(db, plotId, today, timeZone)) + urgentOnPage >= quota) {
    return { field: 'urgent', key: 'rotation.request.urgent-used-up', values: { quota } }
  }
  const { volumeM3, typed: beside } = asking
  return { plot, asked: { plotId, weekStartOn, volumeM3, times, urgent, standing: everyWeek, beside } }
}

interface Amount {
  plot: Plot
  today: CalendarDate
  amount: number | null
  unit: string | null
  outletId: Id<'outlet'> | null
}

/** What was typed as a volume: hours count by the last flow test of the outlet, the plot's own where it has just one. */
async function volumeOf(
  db: Database,
  { plot, today, amount, unit, outletId }: Amount,
): Promise<(Omit<WrittenVolume, 'volumeM3'> & { volumeM3: number | null }) | Wrong> {
  if (amount === null) return { volumeM3: null, typed: {} }
  const outlets = (await listOutlets(db, today)).filter(({ id }) => plot.outletIds.includes(id))
  const outlet = outletId ? outlets.find(({ id }) => id === outletId) : outlets.length === 1 ? outlets[0] : undefined
  if (unit === 'hours' && !outlet) {
    const numbers = outlets.map((one) => one.number).join(', ')
    const key = outlets.length > 0 ? 'rotation.request.which-outlet' : 'rotation.request.no-outlet'
    return { field: 'outletId', key, values: { numbers } }
  }
  const lines = { figure: 'volume', unit: 'askedIn', outlet: 'outletId' }
  return volumeTyped(db, { figure: amount, unit, today, outlet }, lines)
}

const KINDS = [
  { kind: 'wished', day: 'wishedDay', from: 'wishedFrom', to: 'wishedTo' },
  { kind: 'impossible', day: 'cannotDay', from: 'cannotFrom', to: 'cannotTo' },
] as const

type TypedTimes = Record<(typeof KINDS)[number]['day' | 'from' | 'to'], string | null>

/** The hours of a request; a day without hours is the whole day, hours without a day are those of every day. */
function requestTimes(typed: TypedTimes): RequestTime[] | Wrong {
  const times: RequestTime[] = []
  for (const { kind, day, from, to } of KINDS) {
    if (typed[day] === null && typed[from] === null && typed[to] === null) continue
    const fromHour = typed[from] === null ? 0 : clockHour(typed[from])
    const toHour = typed[to] === null ? 24 : clockHour(typed[to])
    if (toHour <= fromHour) return { field: to, key: 'rotation.request.hours-run-back' }
    times.push({ kind, ...dayInWeek(typed[day]), fromHour, toHour })
  }
  return times
}
