import type { Database } from '../../database/connection.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import type { Values } from '../../web/figures/locale.ts'
import type { readForm } from '../../web/forms/forms.ts'
import { clockHour } from '../clock.ts'
import { urgentInMonth, urgentQuotaOn } from './detail-store.ts'
import type { RequestForm } from './forms.ts'
import type { NewRequest, RequestTime } from './store.ts'

type RequestData = NonNullable<ReturnType<typeof readForm<typeof RequestForm.fields>>['data']>

/** The field that must be mended, and the sentence that says so. */
interface Wrong {
  field: string
  key: string
  values?: Values
}

interface Asking {
  today: string
  timeZone: string
  /** Urgent requests of the plot that stand on the same page and are not written yet. */
  urgentOnPage?: number
}

/** What somebody asks for, from the screen or from a line of paper, or the field that must be mended. */
export async function requestOfInput(
  db: Database,
  { plotId, weekStartOn, volume, urgent, everyWeek, ...typed }: RequestData,
  { today, timeZone, urgentOnPage = 0 }: Asking,
): Promise<{ plot: Plot; asked: Omit<NewRequest, 'forPersonId'> } | Wrong> {
  const plot = (await listPlots(db, weekStartOn)).find((one) => one.id === plotId)
  if (!plot) return { field: 'plotId', key: 'error.choose' }
  const times = requestTimes(typed)
  if ('field' in times) return times
  const quota = await urgentQuotaOn(db, today)
  if (urgent !== null && (await urgentInMonth(db, plotId, today, timeZone)) + urgentOnPage >= quota) {
    return { field: 'urgent', key: 'rotation.request.urgent-used-up', values: { quota } }
  }
  return { plot, asked: { plotId, weekStartOn, volumeM3: volume, times, urgent, standing: everyWeek } }
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
    times.push({ kind, weekday: typed[day] === null ? null : Number(typed[day]), fromHour, toHour })
  }
  return times
}
