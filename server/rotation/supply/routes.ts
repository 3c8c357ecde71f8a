import type { CalendarDate } from '../../../domain/calendar.ts'
import type { WeekPath, WeekWeir } from '../../../domain/rotation/week/inputs.ts'
import type { M3 } from '../../../domain/units.ts'
import { daysShort } from '../../../domain/water/path/store-path.ts'
import type { Values } from '../../web/figures/locale.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { type WorkingLine, workingPage } from '../../web/pages/working.ts'
import { weekOr404 } from '../week/view.ts'
import { weekValues } from '../week/words.ts'
import { addLeftPages } from './left-routes.ts'

/** How the water of one weir for one week was worked out, and what is left of it. */
export function addSupplyPages(pages: Pages): void {
  pages.get('/turns/working/given/:start/:weirId', 'turns.see', showRelease)
  addLeftPages(pages)
}

async function showRelease(desk: Desk<'start' | 'weirId'>) {
  const { t, format } = desk
  const { start, weirId } = desk.params
  const { inputs } = await weekOr404(desk, start)
  const weir = found(inputs.weirs.find((one) => one.id === weirId))
  const working = found(weir.working ?? undefined)
  return workingPage(desk, {
    title: 'rotation.release-title',
    titleValues: { name: weir.name, ...weekValues(desk, start) },
    result: t('rotation.release-result', { volume: format.volume(weir.releasableM3) }),
    doubt: t(`rotation.release-held-${working.heldBy}`, {
      bearable: format.percent(working.path?.bearableShare ?? 0),
      ...dryWords(format, start, working.path),
    }),
    lines: releaseLines(desk, weir, working),
    ...reckoning(desk, working.path),
    back: `/turns/weeks/${start}`,
  })
}

/** The first dry day, and on how many of the days to come people would go without. */
function dryWords(format: Desk['format'], fromOn: CalendarDate, path: WeekPath | undefined) {
  if (!path?.firstDryOn) return { dry: '', days: 0, ofDays: 0, part: '' }
  const { days, ofDays } = daysShort({ fromOn, firstDryOn: path.firstDryOn, keepUntilOn: path.keepUntilOn })
  return { dry: format.date(path.firstDryOn), days, ofDays, part: format.percent(ofDays > 0 ? days / ofDays : 1) }
}

/** Weeks from before the path of the store keep the words by which they were reckoned. */
function reckoning({ t, format }: Desk, path: WeekPath | undefined) {
  return path
    ? {
        equation: t('rotation.release-equation', { until: format.date(path.keepUntilOn) }),
        source: t('rotation.release-source'),
      }
    : { equation: t('rotation.release-equation-weeks'), source: t('rotation.release-source-weeks') }
}

function releaseLines(
  desk: Desk,
  { id, drinkingM3 }: WeekWeir,
  working: NonNullable<WeekWeir['working']>,
): WorkingLine[] {
  const { t } = desk
  const { path, basis, weeksLeft } = working
  const m3 = (volumeM3: M3) => `${desk.format.volume(volumeM3)} ${t('layout.unit-m3')}`
  const grade = t(`rotation.release-grade-${working.grade}`)
  const available = basis
    ? t('rotation.release-available-basis', { basis: t(`rotation.release-basis-${basis}`), grade })
    : t('rotation.release-available', { grade })
  return [
    { label: available, value: m3(working.availableM3), date: working.readOn, href: `/water/working/store/${id}` },
    { label: t('rotation.release-taken'), value: m3(working.takenM3) },
    ...(working.untyped?.count
      ? [
          {
            label: t('rotation.release-untyped', { count: working.untyped.count }),
            value: `0–${m3(working.untyped.volumeM3)}`,
            href: '/log',
          },
        ]
      : []),
    ...(path
      ? pathLines(path, desk)
      : [
          {
            label: t('rotation.release-reserve'),
            value: m3(working.reserveM3),
            date: working.lateRainOn,
            href: '/water/kept',
          },
          { label: t('rotation.release-weeks'), value: desk.format.one(weeksLeft ?? 1) },
        ]),
    { label: t('rotation.release-drinking'), value: m3(drinkingM3), href: '/water/kept' },
  ]
}

/** Where the water goes on this path; the parts of what stands above the floor add up to it. */
function pathLines(path: WeekPath, { t, format: f }: Desk): WorkingLine[] {
  const line = (key: string, volumeM3: M3, values: Values = {}): WorkingLine => ({
    label: t(`rotation.release-${key}`, values),
    value: `${f.volume(volumeM3)} ${t('layout.unit-m3')}`,
  })
  const { lossRise: rise, shareBefore } = path
  const until = { date: f.date(path.keepUntilOn), weeks: path.extraWeeks }
  return [
    line('margin', path.marginM3),
    line('parts', path.aboveFloorM3),
    { ...line('part-drinking', path.drinkingM3, until), href: '/water/kept' },
    line('part-loss', path.lossM3),
    line('part-crops', path.cropsM3),
    line('part-later', path.laterCropsM3),
    line('part-left', path.leftM3),
    line('need', path.needM3),
    { label: t('rotation.release-share'), value: f.percent(path.share) },
    ...(shareBefore === null ? [] : [{ label: t('rotation.release-share-before'), value: f.percent(shareBefore) }]),
    ...(rise
      ? [
          {
            label: t('rotation.release-rise-loss', {
              lost: f.volume(rise.lostM3),
              expected: f.volume(rise.expectedM3),
              from: f.date(rise.fromOn),
              to: f.date(rise.toOn),
            }),
            value: f.two(rise.rise),
          },
        ]
      : []),
  ]
}
