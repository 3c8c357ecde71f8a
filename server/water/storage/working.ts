import type { M3 } from '../../../domain/units.ts'
import type { SandBody } from '../../../domain/water/sand/body.ts'
import { saturatedVolumeM3 } from '../../../domain/water/sand/storage.ts'
import type { KnownStorage } from '../../../domain/water/sand/storage-now.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Working, WorkingLine } from '../../web/pages/working.ts'
import { levelsOf, type WeirSurvey } from '../sand/description.ts'
import { sandEquation, sandLines, sandSource } from '../sand/working.ts'
import type { WaterState } from './state.ts'

/** How the water in one weir was worked out, from the stick to the volume. */
export function storageWorking(state: WaterState, desk: Desk): Working {
  const { weir, survey, body, storage } = state
  const { t } = desk
  return {
    title: 'water.working.storage-title',
    titleValues: { number: weir.number },
    result: storage.cannotSay ? cannotSay(state, desk) : availableWords(storage, desk),
    doubt: storage.cannotSay ? undefined : doubtWords(storage, desk),
    lines: [
      ...(survey ? readingLines(state, survey, desk) : []),
      ...(survey ? surveyLines(state, survey, desk) : []),
      ...(survey && body && !storage.cannotSay ? volumeLines(storage, survey, body, desk) : []),
    ],
    equation: t(sandEquation(survey)),
    source: t(sandSource(survey)),
    back: `/water/weirs/${weir.id}`,
  }
}

function cannotSay({ storage, weir }: WaterState, { t }: Desk): string {
  const because = (storage.cannotSay ?? []).map((reason) => t(`water.cannot-say.${reason}`)).join(' ')
  return t('water.cannot-say.storage', { number: weir.number, because })
}

function availableWords({ available, grade, readOn }: KnownStorage, { t, format: f }: Desk): string {
  return t('water.working.storage-result', {
    low: f.atLeast(available.lowM3),
    high: f.atMost(available.highM3),
    likely: f.volumeWithin(available.likelyM3, available.lowM3, available.highM3),
    grade: t(`water.grade.${grade}`),
    date: f.date(readOn),
  })
}

function doubtWords({ levelErrorCm, reasons, grade, ageDays }: KnownStorage, { t, format: f }: Desk): string {
  return [
    t('water.working.storage-doubt', { cm: f.whole(levelErrorCm), age: t('water.age', { days: ageDays }) }),
    ...reasons.map((reason) => t(`water.doubt.${reason}`)),
    t(`water.narrow.${grade}`),
  ].join(' ')
}

/** The mark is that of the day of reading; a later survey may have moved it. */
function readingLines(state: WaterState, survey: WeirSurvey, { t, format: f }: Desk): WorkingLine[] {
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
      href: `/water/lines/level/${reading.id}`,
    },
    { label: t('water.working.level'), value: metres(f.two(storage.waterLevelM)), date },
  ]
}

function surveyLines(state: WaterState, survey: WeirSurvey, desk: Desk): WorkingLine[] {
  const { t } = desk
  const { bedLevelM, offTakeLevelM } = levelsOf(survey)
  const date = survey.surveyedOn
  const level = (key: string, levelM: number) => ({ label: t(key), value: metres(desk.format.two(levelM)), date })
  const waterLevelM = state.storage.cannotSay ? null : state.storage.waterLevelM
  return [
    level('water.working.crest', survey.crestLevelM),
    level('water.working.bed', bedLevelM),
    level('water.working.off-take', offTakeLevelM),
    ...sandLines(survey, waterLevelM, desk),
  ]
}

function volumeLines(storage: KnownStorage, survey: WeirSurvey, body: SandBody, desk: Desk): WorkingLine[] {
  const { t } = desk
  const f = desk.format
  const cubic = (m3: M3) => `${f.volume(m3)} m³`
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
