import { dueInspections } from '../../../domain/water/inspection.ts'
import { isOldLevel } from '../../../domain/water/level.ts'
import { listInspections } from '../../water/inspection/store.ts'
import { waterStates } from '../../water/storage/state.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Line } from './line.ts'

/** More old levels than this are read in one walk, form after form. */
const LEVELS_ALONE = 2

/** For whoever reads levels and whoever plans by them: each weir whose level is old, or all in one line. */
export async function oldLevels({ db, today, t, format }: Desk): Promise<Line[]> {
  const old = (await waterStates(db, { on: today })).filter(({ ageDays }) => isOldLevel(ageDays))
  if (old.length > LEVELS_ALONE) {
    const small = t('today.levels-words', { weirs: old.map(({ weir }) => weir.name).join(', ') })
    const href = `/water/levels/new?weirId=${old[0]!.weir.id}`
    return [{ picture: 'level', words: t('today.levels'), small, figure: String(old.length), href }]
  }
  return old.map(({ weir, ageDays, reading }) => ({
    picture: 'level',
    words: t('today.level', { number: weir.number, name: weir.name }),
    small: reading ? t('today.level-read', { date: format.date(reading.readOn) }) : t('today.level-never'),
    figure: ageDays === null ? '–' : t('today.days', { count: ageDays }),
    href: `/water/levels/new?weirId=${weir.id}`,
  }))
}

/** The part of a wall that has waited longest for a look. */
export async function wallsDue({ db, today, t, format }: Desk): Promise<Line[]> {
  const { overdue } = dueInspections({ inspections: await listInspections(db), today })
  const [longest] = overdue
  if (!longest) return []
  const part = t(`stream.inspection.part.${longest.part}`)
  return [
    {
      picture: 'again',
      words: t('today.wall', { part, number: longest.weirNumber }),
      small: t('today.wall-words', { date: format.date(longest.nextOn!), others: overdue.length - 1 }),
      href: `/water/walls/new?weirId=${longest.weirId}&part=${longest.part}`,
    },
  ]
}
