import { isCalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { sum } from '../../../domain/sum.ts'
import { complaintLines } from '../../people/complaint/state.ts'
import { othersMarks } from '../../people/plot/co-holder-state.ts'
import { listPlots, type Plot } from '../../people/plot/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { type ListLine, openAndFolded } from '../../web/pages/long-list.ts'
import { page } from '../../web/pages/page.ts'
import { fairSeason } from '../fairness/season-state.ts'
import { canPicture } from './pages.ts'
import { plotRecord } from './record.ts'

/** The three facts that end a quarrel, on one page: agreed, drawn, corrected. Water only; what is owed is not shown here. */
export function addPlotRecordPages({ get }: Pages): void {
  get('/turns/plots/:id', 'turns.see', showRecord)
}

async function showRecord(desk: Desk<'id'>) {
  const { db, group, today, params } = desk
  const asks = desk.parts.rotation
  const { fromOn, toOn, isSome } = daysAsked(desk)
  const plot = found((await listPlots(db, today)).find((one) => one.id === params.id))
  const { fairness } = await fairSeason(db, asks, group, today)
  const line = fairness.plots.find((one) => one.plotId === plot.id)
  const record = await plotRecord(db, asks, { plotId: plot.id, fromOn, toOn, rhythm: group })
  return page(desk, 'rotation/plot-record/page', {
    title: 'plot-record.title',
    titleValues: { number: plot.number, name: plot.name },
    plot,
    isOwn: plot.holders.some(({ id }) => id === desk.person.id),
    fromOn,
    toOn,
    isSome,
    charged: await chargedShown(desk, plot, { plotId: plot.id, fromOn, toOn }),
    picture: line && !isSome ? canPicture({ dueM3: line.entitledM3, hadM3: line.receivedM3 }) : null,
    record,
    weeks: openAndFolded(weekLines(desk, record.weeks), () => false, OPEN_WEEKS),
    complaints: await complaintLines(
      desk,
      ({ plotId, saidOn }) => plotId === plot.id && saidOn >= fromOn && saidOn <= toOn,
    ),
    said: await othersMarks(
      desk,
      record.turns.flatMap(({ outcomes }) => outcomes.map(({ id }) => id)),
    ),
  })
}

/** So many weeks stand open under the picture. */
const OPEN_WEEKS = 4

/** What the plot got week by week, each with the way to its week. */
function weekLines({ t, format }: Desk, weeks: Awaited<ReturnType<typeof plotRecord>>['weeks']): ListLine[] {
  return weeks.map(({ startOn, agreedM3, drawnM3 }) => ({
    at: '',
    words: t('plot-record.week', { start: format.date(startOn) }),
    small: t('plot-record.week-agreed', { volume: format.tenth(agreedM3) }),
    figure: t('plot-record.cans', { volume: format.tenth(drawnM3) }),
    href: `/turns/weeks/${startOn}`,
  }))
}

/** The days that were asked for; the whole season where none were, or none that are days. */
function daysAsked({ query, group }: Desk) {
  const { seasonStartOn, seasonEndOn } = group
  const dayOr = (typed: string | undefined, other: string) => (typed && isCalendarDate(typed) ? typed : other)
  const [fromOn, toOn] = [dayOr(query.from, seasonStartOn), dayOr(query.to, seasonEndOn)]
  if (toOn < fromOn) return { fromOn: seasonStartOn, toOn: seasonEndOn, isSome: false }
  return { fromOn, toOn, isSome: fromOn !== seasonStartOn || toOn !== seasonEndOn }
}

/** What was charged for the plot in these days: for its holders, each their own, and for whoever keeps the money; for nobody else. */
async function chargedShown(desk: Desk, { holders }: Plot, span: { plotId: Id<'plot'>; fromOn: string; toOn: string }) {
  const { money } = moneyWords(desk)
  const charges = await desk.parts.rotation.chargesOfPlot(desk.db, span)
  const open = desk.may('money.see-all') ? charges : charges.filter(({ personId }) => personId === desk.person.id)
  if (!desk.may('money.see-all') && open.length === 0 && !holders.some(({ id }) => id === desk.person.id)) return null
  return {
    lines: open.map(({ id, onDate, amountMinor, writtenAt, correctsId }) => ({
      id,
      onDate,
      amount: money(amountMinor),
      written: desk.format.instant(writtenAt),
      isCorrection: correctsId !== null,
    })),
    total: money(sum(open, ({ amountMinor }) => amountMinor)),
    isHidden: open.length < charges.length,
  }
}
