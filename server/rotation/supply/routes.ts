import type { FastifyInstance } from 'fastify'
import type { WeekWeir } from '../../../domain/rotation/week/inputs.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { found } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import type { Visit } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { shownWeek } from '../week/view.ts'
import { weekValues } from '../week/words.ts'

type WithWeir = { Params: { start: string; weirId: string } }

/** How the water of one weir for one week was worked out. */
export function addReleaseRoutes(app: FastifyInstance, { db }: Parts): void {
  app.get<WithWeir>('/weeks/:start/weirs/:weirId', { preHandler: may('turns.see') }, async (request, reply) => {
    const { start, weirId } = request.params
    const group = found(await currentGroup(db))
    const week = found((await shownWeek(db, { group, weekStartOn: start, today: request.visit.today })) ?? undefined)
    const weir = found(week.inputs.weirs.find((one) => one.id === weirId))
    const { locale, format } = request.visit
    return workingPage(
      { request, reply },
      {
        title: 'rotation.release-title',
        titleValues: { name: weir.name, ...weekValues(request, start) },
        result: locale.t('rotation.release-result', { volume: format.volume(weir.releasableM3) }),
        doubt: locale.t(`rotation.release-held-${found(weir.working ?? undefined).heldBy}`),
        lines: releaseLines(weir, request.visit),
        equation: locale.t('rotation.release-equation'),
        source: locale.t('rotation.release-source'),
        back: `/turns/weeks/${start}`,
      },
    )
  })
}

function releaseLines({ id, working, drinkingM3 }: WeekWeir, { locale: { t }, format }: Visit) {
  if (!working) return []
  const basis = t(`rotation.release-basis-${working.basis}`)
  const grade = t(`rotation.release-grade-${working.grade}`)
  const m3 = (volumeM3: number) => `${format.volume(volumeM3)} ${t('layout.unit-m3')}`
  return [
    {
      label: t('rotation.release-available', { basis, grade }),
      value: m3(working.availableM3),
      date: working.readOn,
      href: `/water/weirs/${id}/storage`,
    },
    { label: t('rotation.release-taken'), value: m3(working.takenM3) },
    {
      label: t('rotation.release-reserve'),
      value: m3(working.reserveM3),
      date: working.lateRainOn,
      href: '/water/reserve',
    },
    { label: t('rotation.release-weeks'), value: format.one(working.weeksLeft) },
    { label: t('rotation.release-drinking'), value: m3(drinkingM3), href: '/water/reserve' },
  ]
}
