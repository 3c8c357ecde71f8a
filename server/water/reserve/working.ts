import { addDays } from '../../../domain/calendar.ts'
import type { M3 } from '../../../domain/units.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Working, WorkingLine } from '../../web/pages/working.ts'
import { fallWords } from '../loss/words.ts'
import { missingForReserve, type WaterState } from '../storage/state.ts'
import { needOf } from '../users/input.ts'

/** How much water one weir must keep for people and animals, and why. */
export function reserveWorking(state: WaterState, desk: Desk): Working {
  const { weir, reserve, on } = state
  const { t } = desk
  const f = desk.format
  return {
    title: 'water.working.reserve-title',
    titleValues: { number: weir.number },
    result: reserve
      ? t('water.working.reserve-result', {
          volume: f.volume(reserve.reserveM3),
          date: f.date(addDays(on, reserve.days)),
        })
      : cannotSay(state, desk),
    doubt: t(state.isLossKnown ? 'water.working.reserve-doubt' : 'water.reserve.loss-unknown'),
    lines: [...userLines(state, desk), ...termLines(state, desk)],
    equation: t('water.working.reserve-equation'),
    source: t('water.working.reserve-source'),
    back: '/water/kept',
  }
}

function cannotSay(state: WaterState, { t }: Desk): string {
  const because = missingForReserve(state)
    .map((reason) => t(`water.cannot-say.${reason}`))
    .join(' ')
  return t('water.cannot-say.reserve', { number: state.weir.number, because })
}

function userLines({ users }: WaterState, { t, format: f }: Desk): WorkingLine[] {
  return (users?.users ?? []).map(({ kind, heads, litresPerHeadDay }) => ({
    label: t(`water.user.${kind}`),
    value: t('water.working.heads-by-litres', { heads: f.whole(heads), litres: f.one(litresPerHeadDay) }),
    date: users!.fromOn,
    source: litresPerHeadDay === needOf(kind).usualLitresPerDay ? needOf(kind).source : t('water.working.own-count'),
  }))
}

function termLines(state: WaterState, desk: Desk): WorkingLine[] {
  const { t, format: f } = desk
  const { dailyDrinkingM3, dailyLossM3, isLossKnown, survey, reserve, rise, on, reading, weir } = state
  const lines: WorkingLine[] = []
  if (dailyDrinkingM3 !== null)
    lines.push({ label: t('water.working.daily-drinking'), value: `${f.two(dailyDrinkingM3)} m³` })
  if (isLossKnown && survey && reading)
    lines.push({
      label: t('water.working.daily-loss'),
      value: `${f.two(dailyLossM3)} m³`,
      date: reading.readOn,
      source: fallWords(state, desk),
      href: `/water/working/loss/${weir.id}`,
    })
  if (!reserve) return lines
  const cubic = (m3: M3) => `${f.volume(m3)} m³`
  lines.push(
    {
      label: t('water.working.days-to-rain', { date: f.date(addDays(on, reserve.days)), weeks: state.extraWeeks }),
      value: f.whole(reserve.days),
      date: on,
      href: '/water/kept',
    },
    { label: t('water.working.reserve-drinking'), value: cubic(reserve.drinkingM3) },
    { label: t('water.working.reserve-loss'), value: cubic(reserve.lossM3) },
    { label: t('water.working.reserve-margin'), value: cubic(reserve.marginM3) },
  )
  if (rise && rise.rise > 1) lines.push({ label: t('water.working.reserve-rise'), value: f.two(rise.rise) })
  return lines
}
