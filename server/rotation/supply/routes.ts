import type { WeekWeir } from '../../../domain/rotation/week/inputs.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { workingPage } from '../../web/pages/working.ts'
import { weekOr404 } from '../week/view.ts'
import { weekValues } from '../week/words.ts'
import { addLeftPages } from './left-routes.ts'

/** How the water of one weir for one week was worked out, and what is left of it. */
export function addSupplyPages(pages: Pages): void {
  pages.get('/weeks/:start/weirs/:weirId', 'turns.see', showRelease)
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
    doubt: t(`rotation.release-held-${working.heldBy}`),
    lines: releaseLines(desk, weir, working),
    equation: t('rotation.release-equation'),
    source: t('rotation.release-source'),
    back: `/turns/weeks/${start}`,
  })
}

function releaseLines({ t, format }: Desk, weir: WeekWeir, working: NonNullable<WeekWeir['working']>) {
  const basis = t(`rotation.release-basis-${working.basis}`)
  const grade = t(`rotation.release-grade-${working.grade}`)
  const m3 = (volumeM3: number) => `${format.volume(volumeM3)} ${t('layout.unit-m3')}`
  return [
    {
      label: t('rotation.release-available', { basis, grade }),
      value: m3(working.availableM3),
      date: working.readOn,
      href: `/water/weirs/${weir.id}/storage`,
    },
    { label: t('rotation.release-taken'), value: m3(working.takenM3) },
    {
      label: t('rotation.release-reserve'),
      value: m3(working.reserveM3),
      date: working.lateRainOn,
      href: '/water/reserve',
    },
    { label: t('rotation.release-weeks'), value: format.one(working.weeksLeft) },
    { label: t('rotation.release-drinking'), value: m3(weir.drinkingM3), href: '/water/reserve' },
  ]
}
