import { type KnownStorage, type SandBody, saturatedVolumeM3 } from '../../../domain/water/index.ts'
import type { Visit } from '../../web/pages/page.ts'
import type { Working, WorkingLine } from '../../web/pages/working.ts'
import type { WaterState } from '../weir/state.ts'
import { levelsOf, type WeirSurvey } from './description.ts'
import { sandEquation, sandLines, sandSource } from './working.ts'

/** How the water in one weir was worked out, from the stick to the volume. */
export function storageWorking(state: WaterState, visit: Visit): Working {
  const { weir, survey, body, storage } = state
  const { t } = visit.locale
  return {
    title: 'water.working.storage-title',
    titleValues: { number: weir.number },
    result: storage.cannotSay ? cannotSay(state, visit) : availableWords(storage, visit),
    doubt: storage.cannotSay ? undefined : doubtWords(storage, visit),
    lines: [
      ...(survey ? readingLines(state, survey, visit) : []),
      ...(survey ? surveyLines(state, survey, visit) : []),
      ...(survey && body && !storage.cannotSay ? volumeLines(storage, survey, body, visit) : []),
    ],
    equation: t(sandEquation(survey)),
    source: t(sandSource(survey)),
    back: `/water/weirs/${weir.id}`,
  }
}

function cannotSay({ storage, weir }: WaterState, { locale: { t } }: Visit): string {
  const because = (storage.cannotSay ?? []).map((reason) => t(`water.cannot-say.${reason}`)).join(' ')
  return t('water.cannot-say.storage', { number: weir.number, because })
}

function availableWords({ available, grade, readOn }: KnownStorage, { locale: { t }, format: f }: Visit): string {
  return t('water.working.storage-result', {
    range: f.aboutRange(available.lowM3, available.highM3),
    likely: f.volumeWithin(available.likelyM3, available.lowM3, available.highM3),
    grade: t(`water.grade.${grade}`),
    date: f.date(readOn),
  })
}

function doubtWords(
  { levelErrorCm, reasons, grade, ageDays }: KnownStorage,
  { locale: { t }, format: f }: Visit,
): string {
  return [
    t('water.working.storage-doubt', { cm: f.whole(levelErrorCm), age: t('water.age', { days: ageDays }) }),
    ...reasons.map((reason) => t(`water.doubt.${reason}`)),
    t(`water.narrow.${grade}`),
  ].join(' ')
}

/** The mark is that of the day of reading; a later survey may have moved it. */
function readingLines(state: WaterState, survey: WeirSurvey, { locale: { t }, format: f }: Visit): WorkingLine[] {
  const { reading, storage } = state
  if (!reading || storage.cannotSay) {
    const { markLevelM } = levelsOf(survey)
    return [{ label: t('water.working.mark'), value: metres(f.two(markLevelM)), date: survey.fromOn }]
  }
  const date = reading.readOn
  const markLevelM = storage.waterLevelM + reading.depthCm / 100
  return [
    { label: t('water.working.mark'), value: metres(f.two(markLevelM)), date },
    {
      label: t('water.working.reading'),
      value: `${f.one(reading.depthCm)} cm`,
      date,
      href: `/water/levels/${reading.id}`,
    },
    { label: t('water.working.level'), value: metres(f.two(storage.waterLevelM)), date },
  ]
}

function surveyLines(state: WaterState, survey: WeirSurvey, visit: Visit): WorkingLine[] {
  const { t } = visit.locale
  const { bedLevelM, offTakeLevelM } = levelsOf(survey)
  const date = survey.surveyedOn
  const level = (key: string, levelM: number) => ({ label: t(key), value: metres(visit.format.two(levelM)), date })
  const waterLevelM = state.storage.cannotSay ? null : state.storage.waterLevelM
  return [
    level('water.working.crest', survey.crestLevelM),
    level('water.working.bed', bedLevelM),
    level('water.working.off-take', offTakeLevelM),
    ...sandLines(survey, waterLevelM, visit),
  ]
}

function volumeLines(storage: KnownStorage, survey: WeirSurvey, body: SandBody, visit: Visit): WorkingLine[] {
  const { t } = visit.locale
  const f = visit.format
  const cubic = (m3: number) => `${f.volume(m3)} m³`
  const range = ({ lowM3, likelyM3, highM3 }: KnownStorage['available']) =>
    t('water.working.volume-range', { low: f.volume(lowM3), likely: f.volume(likelyM3), high: f.volume(highM3) })
  const offTakeLevelM = Math.min(levelsOf(survey).offTakeLevelM, storage.waterLevelM)
  return [
    { label: t('water.working.wet-sand'), value: cubic(saturatedVolumeM3({ body, waterLevelM: storage.waterLevelM })) },
    { label: t('water.working.wet-below'), value: cubic(saturatedVolumeM3({ body, waterLevelM: offTakeLevelM })) },
    { label: t('water.working.drainable'), value: range(storage.drainable) },
    { label: t('water.working.hand-drawn'), value: range(storage.handDrawn) },
    { label: t('water.working.available'), value: range(storage.available) },
  ]
}

function metres(text: string): string {
  return `${text} m`
}
