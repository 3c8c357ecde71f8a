import { InputError } from '../../../domain/input-error.ts'
import { type LevelVolumeRow, type SandBody, withLevelVolumeTable } from '../../../domain/water/sand/body.ts'
import { stageStorageCurve } from '../../../domain/water/sand/storage.ts'
import { readFigureLines } from '../../web/forms/figure-lines.ts'
import { type Filled, type ReadForm, withError } from '../../web/forms/forms.ts'

/** A table that ends this near to crest and bed reaches them. */
const NEAR_M = 0.011

/** The rows as typed, lowest level first, or what is wrong with them by their line. */
export function tableOfLines(
  text: string,
  { body, form }: { body: SandBody; form: Filled },
): { rows: LevelVolumeRow[] } | { problem: ReadForm<never> } {
  const refuse = (key: string, values = {}) => ({ problem: withError(form, 'rows', key, values) })
  try {
    const typed = readFigureLines(text, 4).map(({ line, figures }) => {
      const [levelM, lowM3, likelyM3, highM3] = figures as [number, number, number, number]
      return { line, row: { levelM, lowM3, likelyM3, highM3 } }
    })
    const sorted = typed.toSorted((a, b) => a.row.levelM - b.row.levelM)
    const rows = sorted.map(({ row }) => row)
    const fault = tableFault(rows, body)
    if (fault) return refuse(`storage.error.${fault.code}`, { ...fault.values, line: sorted[lineAt(fault)]?.line ?? 0 })
    return { rows }
  } catch (error) {
    if (error instanceof InputError) return refuse(`storage.error.${error.code}`, error.values)
    throw error
  }
}

function lineAt({ values }: InputError): number {
  return Number(values.row ?? 1) - 1
}

function tableFault(rows: LevelVolumeRow[], body: SandBody): InputError | null {
  try {
    withLevelVolumeTable({ body, rows, grade: body.grade })
  } catch (error) {
    if (error instanceof InputError) return error
    throw error
  }
  const { bedLevelM, crestLevelM } = body
  const reaches = rows[0]!.levelM <= bedLevelM + NEAR_M && rows.at(-1)!.levelM >= crestLevelM - NEAR_M
  return reaches ? null : new InputError('table-not-bed-to-crest', { bed: bedLevelM, crest: crestLevelM })
}

/** The curve every 10 cm as lines of the form, crest first. */
export function linesOfCurve(body: SandBody): string {
  const tidy = (value: number, digits: number) => String(Number(value.toFixed(digits)))
  return stageStorageCurve({ body })
    .reverse()
    .map((row) => [tidy(row.levelM, 2), ...[row.lowM3, row.likelyM3, row.highM3].map((m3) => tidy(m3, 1))].join('; '))
    .join('\n')
}
