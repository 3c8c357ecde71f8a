import { depthBeyondMm } from '../../domain/rotation/asked.ts'
import { LITRES_PER_M3, type M3 } from '../../domain/units.ts'
import { TOOL_ERROR_FRACTION } from '../../domain/works/tool-errors.ts'
import type { Database } from '../database/connection.ts'
import {
  countedAs,
  countOptions,
  rareVolume,
  volumeCounted,
  type WrittenVolume,
} from '../people/measure/volume-state.ts'
import type { Values } from '../web/figures/locale.ts'
import { number } from '../web/forms/fields.ts'
import { asking, type Filled } from '../web/forms/forms.ts'
import type { Desk } from '../web/pages/desk.ts'
import type { Option } from '../web/pages/form-page.ts'

/** The field that must be mended, and the sentence that says so. */
export interface Wrong {
  field: string
  key: string
  values?: Values
}

/** In what a volume can be typed where its outlet is known: whatever is counted anywhere, and hours there. */
export async function volumeOptions(desk: Desk): Promise<Option[]> {
  return [...(await countOptions(desk)), { value: 'hours', label: desk.t('measure.counted-in.hours') }]
}

interface Typing {
  figure: number
  /** One of the options; none is m3. */
  unit: string | null
  today: string
  outlet: { number: number; flowM3PerH: number | null } | undefined
}

/** A volume as it is typed: its least is a hundredth of an hour or of a m3, its most that of litres; `volumeTyped` bounds the m3. */
export const volumeField = () => number({ min: 0.01, max: MOST_M3 * LITRES_PER_M3 })

/** Less is no turn, more is no plot of a garden: a slip of the pen. The bounds are ours. */
const LEAST_M3 = 0.02
const MOST_M3 = 10_000

/** Where on a form a volume is typed. */
interface Lines {
  figure: string
  unit: string
  outlet: string
}

/** What was typed as a volume: hours count by the last flow test of the outlet. */
export async function volumeTyped(db: Database, typing: Typing, fields: Lines): Promise<WrittenVolume | Wrong> {
  const read = await volumeRead(db, typing, fields)
  if ('field' in read || (read.volumeM3 >= LEAST_M3 && read.volumeM3 <= MOST_M3)) return read
  const values = { volume: read.volumeM3, least: LEAST_M3, most: MOST_M3 }
  return { field: fields.figure, key: 'rotation.request.beyond', values }
}

async function volumeRead(
  db: Database,
  { figure, unit, today, outlet }: Typing,
  fields: Lines,
): Promise<WrittenVolume | Wrong> {
  if (unit === 'hours') {
    if (!outlet) return { field: fields.outlet, key: 'error.choose' }
    if (!outlet.flowM3PerH)
      return { field: fields.unit, key: 'rotation.request.not-tested', values: { number: outlet.number } }
    const litresEach = outlet.flowM3PerH * LITRES_PER_M3
    return countedAs(unit, { figure, litresEach, doubtPart: TOOL_ERROR_FRACTION.hours })
  }
  return (await volumeCounted(db, { figure, unit, on: today })) ?? { field: fields.unit, key: 'error.choose' }
}

/** The form with the question whether so much is meant for that plot: jerrycans typed as m3 are fifty times what was meant. */
export function rareOnPlot(
  { format }: Desk,
  form: Filled,
  { areaM2, volumeM3 }: { areaM2: number | undefined; volumeM3: M3 | null },
): Filled | null {
  const depthMm = volumeM3 === null ? null : depthBeyondMm(volumeM3, areaM2 ?? 0)
  if (depthMm === null) return rareVolume(form, 'volume', 'water of a week, m3', volumeM3)
  const values = {
    volume: format.volume(volumeM3!),
    jerrycans: format.jerrycans(volumeM3!),
    depth: format.whole(depthMm),
  }
  return asking(form, 'volume', 'rotation.request.much', values)
}
