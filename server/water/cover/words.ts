import type { M3 } from '../../../domain/units.ts'
import type { Values } from '../../web/figures/locale.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { WorkingLine } from '../../web/pages/working.ts'
import { fallWords } from '../loss/words.ts'
import type { Untyped } from '../storage/untyped-store.ts'
import { type CoverState, coverStates } from './state.ts'

/** A sentence as a key of the catalogue with its values, dates already in words. */
export interface Sentence {
  key: string
  values: Values
}

/** One line for each weir on the water page. */
export async function coverSentences(desk: Desk) {
  const states = await coverStates(desk.db, { on: desk.today })
  return new Map(states.map((one) => [one.state.weir.id, coverSentence(one, desk)]))
}

/** How long the water of one weir lasts, in one sentence. */
export function coverSentence({ state, cover, plan, cannotSay }: CoverState, { locale, format: f }: Desk): Sentence {
  if (!cover || cannotSay.length > 0 || !state.lateRainOn) {
    const because = cannotSay.map((reason) => locale.t(`water.cannot-say.${reason}`)).join(' ')
    return { key: 'outlook.cover.cannot-say', values: { because } }
  }
  const rain = state.lateRainOn
  const early = (on: string | null) => (on !== null && on <= rain ? on : null)
  const [first, mid, last] = [cover.cautious, cover.middle, cover.hopeful].map((one) => early(one.drinkingLineOn))
  const values: Values = { rain: f.date(rain) }
  if (first) values.first = f.date(first)
  if (mid) values.mid = f.date(mid)
  if (last) values.last = f.date(last)
  if (rain <= state.on) return { key: 'outlook.cover.rain-past', values }
  if (cover.middle.daysToDrinkingLine === 0) return { key: 'outlook.cover.below-now', values }
  if (plan.source === 'none') return { key: 'outlook.cover.no-plan', values }
  if (!first) return { key: 'outlook.cover.holds', values }
  if (!mid) return { key: 'outlook.cover.may-not-hold', values }
  if (!last) return { key: 'outlook.cover.hopeful-holds', values }
  return { key: first === last ? 'outlook.cover.on-day' : 'outlook.cover.between', values }
}

/** "If irrigation stops today": when nothing is left above the off-take. */
export function stopSentence({ cover }: CoverState, { format: f }: Desk): Sentence | null {
  if (!cover) return null
  const { emptyOn, daysToEmpty } = cover.ifIrrigationStops
  if (emptyOn === null) return { key: 'outlook.cover.stop-year', values: {} }
  return { key: 'outlook.cover.stop', values: { date: f.date(emptyOn), days: daysToEmpty! } }
}

/** Where the weekly plan comes from, in words. */
export function planWords({ plan }: Pick<CoverState, 'plan'>, { locale, format: f }: Desk): string {
  const dates = plan.weeks.toSorted().map((on) => f.date(on))
  const words = locale.t(`outlook.plan.${plan.source}`, {
    weeks: dates.length,
    first: dates[0] ?? '',
    last: dates.at(-1) ?? '',
  })
  return plan.untyped > 0 ? `${words} ${locale.t('outlook.plan.untyped', { count: plan.untyped })}` : words
}

/** Turns that nobody has typed in yet, with what of the figure above hangs on them. */
function untypedLines({ count, volumeM3 }: Untyped, { t, format: f }: Desk): WorkingLine[] {
  if (count === 0) return []
  return [{ label: t('water.untyped.line', { count }), value: `0–${f.volume(volumeM3)} m³`, href: '/log' }]
}

/** Every input of the days of cover, with its day and where it opens. */
export function coverLines(one: CoverState, desk: Desk): WorkingLine[] {
  const { state, plan, term, levelTodayM, coverWeir } = one
  const { weir, storage, reading, survey, since, untyped } = state
  if (storage.cannotSay || !reading || !survey || levelTodayM === null || !coverWeir) return []
  const { t } = desk
  const f = desk.format
  const working = (what: string) => `/water/working/${what}/${weir.id}`
  const cubic = (m3: M3) => `${f.volume(m3)} m³`
  return [
    {
      label: t('outlook.line.level'),
      value: `${f.two(storage.waterLevelM)} m`,
      date: reading.readOn,
      href: `/water/lines/level/${reading.id}`,
    },
    { label: t('outlook.line.error'), value: `${f.one(storage.levelErrorCm)} cm`, href: working('store') },
    ...(since.days > 0
      ? [
          { label: t('outlook.line.since-drawn'), value: cubic(since.drawnM3), href: '/log' },
          ...untypedLines(untyped, desk),
          { label: t('outlook.line.since-drunk', { days: since.days }), value: cubic(since.drunkM3) },
          { label: t('outlook.line.since-lost', { days: since.days }), value: cubic(since.lostM3) },
          { label: t('outlook.line.level-today'), value: `${f.two(levelTodayM)} m`, date: state.on },
        ]
      : []),
    { label: t('outlook.line.drinking'), value: `${f.two(coverWeir.dailyDrinkingM3)} m³`, href: working('kept') },
    {
      label: t('outlook.line.loss'),
      value: fallWords(state, desk),
      href: working('loss'),
    },
    { label: t('outlook.line.loss-now'), value: `${f.two(state.dailyLossM3)} m³`, href: working('store') },
    ...(coverWeir.rise > 1 ? [{ label: t('outlook.line.loss-rise'), value: f.two(coverWeir.rise) }] : []),
    {
      label: t('outlook.line.plan'),
      value: plan.source === 'none' ? t('outlook.line.none') : cubic(plan.volumeM3),
      source: planWords(one, desk),
    },
    {
      label: t('outlook.line.leak-share'),
      value: f.percent(term?.leakShare ?? 0),
      date: term?.fromOn ?? null,
      source: term ? (term.words ?? '') : t('outlook.line.leak-unset'),
    },
    { label: t('outlook.line.late-rain'), value: f.date(state.lateRainOn!), href: '/water/kept' },
    { label: t('outlook.line.extra-weeks'), value: f.whole(state.extraWeeks), href: '/water/kept' },
  ]
}
