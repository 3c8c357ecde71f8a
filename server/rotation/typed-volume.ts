import { type TypedVolume, typedVolumeM3 } from '../../domain/people/measure.ts'
import { LITRES_PER_M3, type M3 } from '../../domain/units.ts'
import { TOOL_ERROR_FRACTION } from '../../domain/works/tool-errors.ts'
import type { Facts } from '../book/entries.ts'
import type { Database } from '../database/connection.ts'
import { vesselOptions } from '../people/measure/state.ts'
import { canLitresOn, vesselsOn } from '../people/measure/store.ts'
import type { Values } from '../web/figures/locale.ts'
import type { Desk } from '../web/pages/desk.ts'
import type { Option } from '../web/pages/form-page.ts'

/** The field that must be mended, and the sentence that says so. */
export interface Wrong {
  field: string
  key: string
  values?: Values
}

/** A volume to be written, with how it was typed where that was not in m3. */
export interface WrittenVolume {
  volumeM3: M3
  typed: Pick<Facts, 'typedVolume'>
}

/** In what a volume can be typed: m3, the group's can, hours at the outlet, and whatever vessels it has named. */
export async function volumeOptions({ db, today, t, format }: Desk): Promise<Option[]> {
  return [
    ...['m3', 'jerrycans', 'hours'].map((unit) => ({ value: unit, label: t(`rotation.request.askedIn.${unit}`) })),
    ...vesselOptions({ t, format }, await vesselsOn(db, today)),
  ]
}

interface Typing {
  figure: number
  /** One of the options; none is m3. */
  unit: string | null
  today: string
  outlet: { number: number; flowM3PerH: number | null } | undefined
}

/** What was typed as a volume: hours count by the last flow test of the outlet. `fields` name where it was typed. */
export async function volumeTyped(
  db: Database,
  { figure, unit, today, outlet }: Typing,
  fields: { unit: string; outlet: string },
): Promise<WrittenVolume | Wrong> {
  if (unit === null || unit === 'm3') return { volumeM3: figure, typed: {} }
  if (unit === 'hours') {
    if (!outlet) return { field: fields.outlet, key: 'error.choose' }
    if (!outlet.flowM3PerH)
      return { field: fields.unit, key: 'rotation.request.not-tested', values: { number: outlet.number } }
    const litresEach = outlet.flowM3PerH * LITRES_PER_M3
    return written(unit, { figure, litresEach, doubtPart: TOOL_ERROR_FRACTION.hours })
  }
  const named = (await vesselsOn(db, today)).find(({ name }) => name === unit)
  const litresEach = unit === 'jerrycans' ? await canLitresOn(db, today) : named?.litresEach
  if (litresEach === undefined) return { field: fields.unit, key: 'error.choose' }
  return written(unit, { figure, litresEach, doubtPart: TOOL_ERROR_FRACTION.jerrycans })
}

function written(unit: string, typed: TypedVolume): WrittenVolume {
  return { volumeM3: typedVolumeM3(typed).likelyM3, typed: { typedVolume: [{ unit, ...typed }] } }
}
