import type { Database } from '../../database/connection.ts'
import { currentGroup } from '../../people/group/store.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import type { Values } from '../../web/figures/locale.ts'
import type { readForm } from '../../web/forms/forms.ts'
import { urgentInMonth, urgentQuotaOn } from './detail-store.ts'
import type { RequestForm } from './forms.ts'
import type { NewRequest } from './store.ts'
import { requestTimes } from './times.ts'

type RequestData = NonNullable<ReturnType<typeof readForm<typeof RequestForm.fields>>['data']>

export type ReadRequest =
  | { plot: Plot; asked: Omit<NewRequest, 'forPersonId'> }
  | { field: string; key: string; values?: Values }

/** What somebody asks for, from the screen or from a line of paper, or the field that must be mended. */
export async function requestOfInput(
  db: Database,
  { plotId, weekStartOn, volume, urgent, everyWeek, ...times }: RequestData,
  { today, urgentOnPage = 0 }: { today: string; urgentOnPage?: number },
): Promise<ReadRequest> {
  const plot = (await listPlots(db, weekStartOn)).find((one) => one.id === plotId)
  if (!plot) return { field: 'plotId', key: 'error.choose' }
  const read = requestTimes(times)
  if ('field' in read) return read
  const quota = await urgentQuotaOn(db, today)
  const timeZone = (await currentGroup(db))?.timeZone ?? 'UTC'
  if (urgent !== null && (await urgentInMonth(db, plotId, today, timeZone)) + urgentOnPage >= quota) {
    return { field: 'urgent', key: 'rotation.request.urgent-used-up', values: { quota } }
  }
  return { plot, asked: { plotId, weekStartOn, volumeM3: volume, times: read.times, urgent, standing: everyWeek } }
}
