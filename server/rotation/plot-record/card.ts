import type { Id } from '../../../domain/id.ts'
import { weeksFromTo } from '../../../domain/weeks.ts'
import { listPlots } from '../../people/plot/store.ts'
import { type Desk, deskFor, inWordsOf, type Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { listOutlets } from '../../works/pump/store.ts'
import { type FairSeason, fairSeason } from '../fairness/season-state.ts'

/** Tank marks of a week; a plot with more water has marks that stand for more. */
const MARKS_OF_A_WEEK = 12
const MARK_MM = 6.6

/** The card of a plot's holder, printed on both sides and folded: its water week by week. Nothing of money stands on it. */
export function addMemberCardPage({ get }: Pages): void {
  get('/turns/plots/:id?as=card', 'turns.see', showCard)
}

async function showCard(desk: Desk<'id'>) {
  const { db, group, today, params } = desk
  const plot = found((await listPlots(db, today)).find((one) => one.id === params.id))
  const forWhom = await deskFor(desk, plot.holders[0]?.id ?? null)
  const { format } = forWhom
  const outlets = (await listOutlets(db, today)).filter(({ id }) => plot.outletIds.includes(id))
  const season = await fairSeason(db, desk.parts.rotation, group, today)
  const mostM3 = Math.max(0, ...season.weeks.map((week) => Math.max(...bothOf(week, plot.id))))
  const markM3 = Math.max(1, Math.ceil(mostM3 / MARKS_OF_A_WEEK))
  const weeks = weeksFromTo(group.seasonStartOn, group.seasonEndOn, group).map(({ startOn }) => {
    const week = season.weeks.find(({ weekStartOn }) => weekStartOn === startOn)
    const [dueM3, cameM3] = week ? bothOf(week, plot.id) : [0, 0]
    return {
      shortDay: format.shortDay(startOn),
      marks: marksOf(dueM3 / markM3, cameM3 / markM3),
    }
  })
  const half = Math.ceil(weeks.length / 2)
  return page(desk, 'rotation/plot-record/card', {
    title: 'plot-record.card.title',
    titleValues: { number: plot.number },
    plot,
    outlets: outlets.map(({ number }) => number).join(', '),
    // Hours are told where they are the same at every outlet of the plot.
    flowM3PerH: outlets.length === 1 ? outlets[0]!.flowM3PerH : null,
    span: { from: format.date(group.seasonStartOn), to: format.date(group.seasonEndOn) },
    halves: [weeks.slice(0, half), weeks.slice(half)],
    markM3,
    words: inWordsOf(forWhom),
  })
}

function bothOf({ entitledM3, receivedM3 }: FairSeason['weeks'][number], plotId: Id<'plot'>): [number, number] {
  return [entitledM3[plotId] ?? 0, receivedM3[plotId] ?? 0]
}

/** Each mark of a week: thick where it is due, with a tick where it came and one stroke where half of it did. */
function marksOf(due: number, came: number) {
  return Array.from({ length: MARKS_OF_A_WEEK }, (_, at) => ({
    x: at * MARK_MM,
    isDue: at < Math.round(due),
    stroke: came - at >= 0.75 ? 'M0.6 3L2 5L5 0.5' : came - at >= 0.25 ? 'M1 5L4 1' : null,
  }))
}
