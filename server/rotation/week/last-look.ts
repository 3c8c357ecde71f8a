import { group } from 'd3-array'
import { holderOverlaps } from '../../../domain/rotation/draft/holder-overlaps.ts'
import { type WishNotMet, wishesNotMet } from '../../../domain/rotation/draft/wishes-not-met.ts'
import { waterByOneName } from '../../../domain/rotation/manual-change/week.ts'
import type { BasisEntry } from '../../../domain/rotation/week/basis-changes.ts'
import { isOldLevel } from '../../../domain/water/level.ts'
import { hasSecondName } from '../../people/person/grave-store.ts'
import { waterStates } from '../../water/storage/state.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { rewordedShown } from '../../web/pages/names.ts'
import { basisLooked, entriesToName } from '../basis/looked.ts'
import { changeHref, changeLines } from './change-lines.ts'
import { type WeekFound, weekPage } from './pages.ts'
import { heldWords, namedShares, type ShownWeek } from './view.ts'

/** Less than this is rounding, not a shortage. */
const SHORT_M3 = 0.05

/** A draft as it is looked at once more before it is published. */
export async function publishPage(desk: Desk, found: WeekFound, week: ShownWeek) {
  const { lines, looked, alone } = await basisLooked(desk, week)
  const ownHand = ownWater(desk, week)
  const short = namedShares(week).filter(({ countedM3, allocatedM3 }) => countedM3 - allocatedM3 > SHORT_M3)
  return {
    ...weekPage(desk, found, []),
    title: 'rotation.publish-title',
    oldLevels: await oldLevels(desk),
    short: short.map((share) => ({ ...share, held: heldWords(week, share) })),
    looks: [
      ['rotation.publish-clashes', clashLines(desk, week)],
      ['rotation.publish-wishes', wishLines(desk, week)],
      ['rotation.publish-changes', handLines(desk, week)],
      ['rotation.publish-basis', looked],
    ] as const,
    basis: {
      alone: (await hasSecondName(desk)) ? alone + ownHand.length : 0,
      reworded: await rewordedShown(
        desk,
        lines.flatMap(({ entries }) => entries.map(({ writerId }) => writerId)),
      ),
      toName: (await entriesToName(desk, [...lines, ...handEntries(week)])).length,
    },
  }
}

/** Weirs whose last level is too old to carry a plan, each with how old it is. */
async function oldLevels({ db, today }: Desk) {
  const old = (await waterStates(db, { on: today })).filter(({ ageDays }) => isOldLevel(ageDays))
  return old.map(({ weir, ageDays }) => ({ ...weir, days: ageDays ?? 0, isRead: ageDays === null ? 'never' : 'once' }))
}

/** One line of a list: the plot in the margin, words, one figure. */
interface LookLine {
  plotId: string | null
  at: number | ''
  words: string
  small: string
  strong?: string
  figure: string
  under: string
  href: string
}

/** A person with two turns at one hour. */
function clashLines(desk: Desk, { inputs, results }: ShownWeek): LookLine[] {
  const { t, format } = desk
  return holderOverlaps({ inputs, turns: results.turns }).map(({ holder, first, second }) => ({
    plotId: second.plotId,
    at: plotOf(inputs, second.plotId)?.number ?? '',
    words: holder,
    small: t('rotation.publish-clash', {
      day: format.weekday(first.on),
      plot: plotOf(inputs, first.plotId)?.number ?? '',
      start: format.clock(first.startMinute),
      other: plotOf(inputs, second.plotId)?.number ?? '',
      otherStart: format.clock(second.startMinute),
    }),
    figure: format.clock(second.startMinute),
    under: format.weekday(second.on),
    href: desk.may('week.publish') ? changeHref(inputs, second) : `/turns/weeks/${inputs.weekStartOn}`,
  }))
}

/** Wished days or hours in which no turn of the plot lies. */
function wishLines(desk: Desk, { inputs, results }: ShownWeek): LookLine[] {
  return wishesNotMet({ inputs, turns: results.turns }).map(({ plotId, wished, turn }) => ({
    plotId,
    at: plotOf(inputs, plotId)?.number ?? '',
    words: plotOf(inputs, plotId)?.holders.join(', ') ?? '',
    small: desk.t('rotation.publish-wish', { wished: wishWords(desk, inputs, wished) }),
    figure: turn ? desk.format.clock(turn.startMinute) : '–',
    under: turn ? desk.format.weekday(turn.on) : desk.t('rotation.publish-no-turn'),
    href: `/turns/working/why/${inputs.weekStartOn}/${plotId}`,
  }))
}

/** The same hours of several days are said once. */
function wishWords({ t, format }: Desk, { days }: ShownWeek['inputs'], wished: WishNotMet['wished']): string {
  const byHours = group(wished, ({ fromHour = 0, toHour = 24 }) => `${fromHour} ${toHour}`)
  const said = [...byHours.values()].map((same) => {
    const { fromHour = 0, toHour = 24 } = same[0]!
    const hours = { from: format.clock(fromHour * 60), to: format.clock(toHour * 60) }
    const on = days.filter((day) => same.some((wish) => (wish.on ?? day) === day))
    return on.length === days.length
      ? t('rotation.publish-wish-any', hours)
      : t('rotation.publish-wish-day', { day: on.map((day) => format.weekday(day)).join(', '), ...hours })
  })
  return said.join('; ')
}

/** What whoever stands there changed of the water by hand, alone. */
function ownWater({ person }: Desk, { inputs, results }: ShownWeek) {
  return waterByOneName(inputs, results).filter(({ byId }) => byId === person.id)
}

/** The same in words, for whoever sent the form past the page. */
export function ownWaterWords(desk: Desk, week: ShownWeek): string[] {
  const own = ownWater(desk, week).map(({ id }) => id)
  return changeLines(week, desk).flatMap(({ id, words }) => (own.includes(id) ? [words] : []))
}

/** Changes of water with one name, as lines to put a name under. */
export function handEntries({ inputs, results }: ShownWeek): { entries: BasisEntry[] }[] {
  return waterByOneName(inputs, results).map(({ id, byId }) => ({ entries: [{ id, writerId: byId, names: 0 }] }))
}

/** The committee's changes by hand, each with how many names stand under it. */
function handLines(desk: Desk, week: ShownWeek): LookLine[] {
  const { t, format } = desk
  const own = ownWater(desk, week).map(({ id }) => id)
  return changeLines(week, desk).map((line) => {
    const names = line.approvedByName ? 2 : 1
    const warning = line.refused
      ? `${t('manual-change.not-laid-in')} ${t(`manual-change.refused-${line.refused}`)}`
      : line.ofOfficer && names < 2
        ? t('manual-change.second-name-missing')
        : own.includes(line.id)
          ? t('rotation.publish-basis-own')
          : null
    return {
      plotId: line.plotId,
      at: plotOf(week.inputs, line.plotId)?.number ?? '',
      words: line.words,
      small: [
        t('week.changed-by', { who: line.byName, when: format.instant(line.at), reason: line.reason }),
        line.approvedByName ? t('manual-change.second-name-other', { who: line.approvedByName }) : '',
      ].join(' '),
      ...(warning ? { strong: warning } : {}),
      figure: String(names),
      under: t('rotation.publish-names', { count: names }),
      href: `/turns/weeks/${week.inputs.weekStartOn}`,
    }
  })
}

function plotOf({ plots }: ShownWeek['inputs'], plotId: string) {
  return plots.find((plot) => plot.id === plotId)
}
