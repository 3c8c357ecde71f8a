import type { CalendarDate } from '../../../domain/calendar.ts'
import { fairSeason } from '../../rotation/fairness/season-state.ts'
import { waterStates } from '../../water/storage/state.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { PeriodBooks } from '../reconcile/books.ts'

/** A line with its picture: what is there as a full bar, what it is measured against as an outline, both of 100. */
interface Bar {
  name: string
  full: number
  outline: number
  figure: string
  under: string
}

/** The water of each weir when the season began and now; what cannot be said has no bar. */
export async function weirBars(
  { db, t, format: f }: Desk,
  { from, to }: { from: CalendarDate; to: CalendarDate },
): Promise<Bar[]> {
  const first = new Map(
    (await waterStates(db, { on: from })).map(({ weir, storage }) => [weir.id, availableOf(storage)]),
  )
  const now = (await waterStates(db, { on: to })).map(({ weir, storage }) => ({
    weir,
    available: availableOf(storage),
  }))
  const most = Math.max(
    1,
    ...now.map(({ available }) => available?.likelyM3 ?? 0),
    ...[...first.values()].map((one) => one?.likelyM3 ?? 0),
  )
  return now.map(({ weir, available }) => {
    const began = first.get(weir.id)
    return {
      name: `${weir.number} ${weir.name}`,
      full: hundredths((available?.likelyM3 ?? 0) / most),
      outline: hundredths((began?.likelyM3 ?? 0) / most),
      figure: available
        ? t('report.weir-now', { volume: f.volume(available.likelyM3), low: f.atLeast(available.lowM3) })
        : '–',
      under: began ? t('report.weir-first', { volume: f.volume(began.likelyM3) }) : t('report.weir-unknown'),
    }
  })
}

type Storage = Awaited<ReturnType<typeof waterStates>>[number]['storage']

function availableOf(storage: Storage) {
  return 'available' in storage ? storage.available : null
}

/** Of a hundred cans that were due, how many came, at the head, in the middle and at the tail of the lines. */
export async function fairBars({ db, parts, group, today, t, format: f }: Desk): Promise<Bar[]> {
  const { fairness } = await fairSeason(db, parts.rotation, group, today)
  return fairness.byLine.map(({ name, plots, level, entitledM3, receivedM3 }) => ({
    name: t(`fairness.place-${name}`),
    full: hundredths(Math.min(1, level ?? 0)),
    outline: 100,
    figure: level === null ? '–' : t('report.of-hundred', { cans: f.whole(level * 100) }),
    under: `${t('fairness.count-plots', { count: plots })}, ${t('fairness.of-due', { received: f.volume(receivedM3), due: f.volume(entitledM3) })}`,
  }))
}

/** Charged, come in, paid out: the group's own sums to one measure. */
export function moneyBars(desk: Desk, { arrears, costsMinor }: PeriodBooks): Bar[] {
  const sums = [
    ['charged', arrears.chargesMinor + arrears.finesMinor],
    ['came-in', arrears.receiptsMinor],
    ['paid-out', costsMinor],
  ] as const
  return sumBars(
    desk,
    sums.map(([name, minor]) => ({ name: desk.t(`report.bar-${name}`), minor })),
  )
}

/** Sums of money beside each other, each with its bar to one measure; their currency stands once above them. */
export function sumBars(desk: Desk, sums: readonly { name: string; minor: number }[]): Bar[] {
  const { inRow } = moneyWords(desk)
  const most = Math.max(1, ...sums.map(({ minor }) => minor))
  return sums.map(({ name, minor }) => ({
    name,
    full: hundredths(minor / most),
    outline: 0,
    figure: inRow(minor),
    under: '',
  }))
}

function hundredths(part: number): number {
  return Math.round(Math.max(0, part) * 1000) / 10
}
