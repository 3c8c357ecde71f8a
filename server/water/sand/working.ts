import { SEDIMENT_YIELDS, type Sediment } from '../../../domain/water/data/specific-yield.ts'
import type { LevelVolumeRow } from '../../../domain/water/sand/body.ts'
import { saturatedAreaM2 } from '../../../domain/water/sand/survey-volume.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { WorkingLine } from '../../web/pages/working.ts'
import type { TapeMeasures, WeirSurvey } from './description.ts'
import type { ProbedSand } from './survey-store.ts'
import type { WrittenTable } from './table-store.ts'

/** The rule by which a description turns a level into water, as a key of the catalogue. */
export function sandEquation(survey: WeirSurvey | null): string {
  if (survey?.table) return 'storage.working.equation-table'
  if (survey?.probed) return 'storage.working.equation-probed'
  return `water.working.storage-equation.${survey?.tape?.valleyShape ?? 'none'}`
}

export function sandSource(survey: WeirSurvey | null): string {
  if (survey?.table) return survey.table.working ? 'storage.working.source-calibrated' : 'storage.working.source-table'
  return survey?.probed ? 'storage.working.source-probed' : 'water.working.storage-source'
}

/** What the description puts into the storage of a day, each line with its date and its door. */
export function sandLines(survey: WeirSurvey, waterLevelM: number | null, desk: Desk): WorkingLine[] {
  const base = survey.probed
    ? probedLines(survey, survey.probed, waterLevelM, desk)
    : tapeLines(survey, survey.tape!, desk)
  return survey.table ? [...base, ...tableLines(survey.table, waterLevelM ?? survey.crestLevelM, desk)] : base
}

function tapeLines(survey: WeirSurvey, tape: TapeMeasures, desk: Desk): WorkingLine[] {
  const { t } = desk
  const f = desk.format
  const date = survey.surveyedOn
  return [
    { label: t('water.weir.crestHeight'), value: f.two(survey.crestHeightM), date },
    { label: t('water.weir.crestWidth'), value: f.two(tape.crestWidthM), date },
    { label: t('water.weir.bedSlope'), value: f.two(tape.bedSlope * 100), date },
    { label: t('water.weir.valleyShape'), value: t(`water.weir.valleyShape.${tape.valleyShape}`), date },
    yieldLine(tape.sandType, desk),
  ]
}

function yieldLine(sandType: Sediment, { t, format: f }: Desk): WorkingLine {
  const sediment = SEDIMENT_YIELDS.find((row) => row.sediment === sandType)!
  const { low, likely, high } = sediment.specificYield
  return {
    label: t('water.working.yield', { sand: t(`water.weir.sandType.${sandType}`) }),
    value: t('water.working.yield-range', { low: f.percent(low), likely: f.percent(likely), high: f.percent(high) }),
    source: sediment.source,
  }
}

function probedLines(
  survey: WeirSurvey,
  { sections, tailChainageM, layers }: ProbedSand,
  waterLevelM: number | null,
  desk: Desk,
): WorkingLine[] {
  const { t } = desk
  const f = desk.format
  const date = survey.surveyedOn
  const href = `/water/lines/sand/${survey.weirId}/${survey.surveyId}`
  const levelM = Math.min(waterLevelM ?? survey.crestLevelM, survey.crestLevelM)
  const areas = sections.map((section) => ({
    label: t('storage.working.wet-area', { distance: f.one(section.chainageM) }),
    value: `${f.two(saturatedAreaM2(section, levelM))} m²`,
    date,
    href,
  }))
  const tail = { label: t('storage.working.tail'), value: `${f.one(tailChainageM ?? 0)} m`, date, href }
  return [
    ...areas,
    ...(tailChainageM === null ? [] : [tail]),
    ...layers.map(({ sandType, toDepthM }) => {
      const line = yieldLine(sandType, desk)
      return toDepthM === null
        ? line
        : { ...line, label: t('storage.working.layer', { depth: f.two(toDepthM), label: line.label }) }
    }),
  ]
}

/** The two rows of the accepted table between which the level lies. */
function tableLines(table: WrittenTable, levelM: number, { t, format: f }: Desk): WorkingLine[] {
  const above = table.rows.findIndex((row) => row.levelM >= levelM)
  const upper = above === -1 ? table.rows.length - 1 : above
  const held = [...new Set([Math.max(0, upper - 1), upper])].map((at) => table.rows[at]!)
  return held.map((row: LevelVolumeRow) => ({
    label: t('storage.working.table-row', { level: f.two(row.levelM) }),
    value: t('water.working.volume-range', {
      low: f.volume(row.lowM3),
      likely: f.volume(row.likelyM3),
      high: f.volume(row.highM3),
    }),
    date: table.fromOn,
    href: `/water/names/table/${table.weirId}/${table.id}`,
  }))
}
