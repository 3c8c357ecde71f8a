import { listPlots } from '../../people/plot/store.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { fairSeason } from '../fairness/season-state.ts'
import { canPicture } from './pages.ts'
import { plotRecord } from './record.ts'

/** The three facts that end a quarrel, on one page: agreed, drawn, corrected. Water only; what is owed is not shown here. */
export function addPlotRecordPages({ get }: Pages): void {
  get('/plots/:id/record', 'turns.see', showRecord)
}

async function showRecord(desk: Desk<'id'>) {
  const { db, group, today, params } = desk
  const asks = desk.parts.rotation
  const { seasonStartOn: fromOn, seasonEndOn: toOn } = group
  const plot = found((await listPlots(db, today)).find((one) => one.id === params.id))
  const { fairness } = await fairSeason(db, asks, group, today)
  const line = fairness.plots.find((one) => one.plotId === plot.id)
  return page(desk, 'rotation/plot-record/page', {
    title: 'plot-record.title',
    titleValues: { number: plot.number, name: plot.name },
    plot,
    fromOn,
    picture: line ? canPicture({ dueM3: line.entitledM3, hadM3: line.receivedM3 }) : null,
    record: await plotRecord(db, asks, { plotId: plot.id, fromOn, toOn, rhythm: group }),
  })
}
