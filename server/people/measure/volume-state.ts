import type { CalendarDate } from '../../../domain/calendar.ts'
import { type TypedVolume, typedVolumeM3, VESSEL_ERROR_FRACTION } from '../../../domain/people/measure.ts'
import { LITRES_PER_M3, type M3 } from '../../../domain/units.ts'
import type { Facts } from '../../book/entries.ts'
import type { Database } from '../../database/connection.ts'
import { seldom, select } from '../../web/forms/fields.ts'
import { asking, type Filled, withError } from '../../web/forms/forms.ts'
import { unusual } from '../../web/forms/unusual.ts'
import type { UsualFigure } from '../../web/forms/usual.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Option } from '../../web/pages/form-page.ts'
import { vesselOptions } from './state.ts'
import { canLitresOn, vesselsOn } from './store.ts'

/** In what a volume on the same form is counted; left empty it is m3. */
export const COUNTED_IN = { ...seldom(select()), words: 'measure.counted-in' }

/** A volume to be written, with how it was typed where that was not in m3. */
export interface WrittenVolume {
  volumeM3: M3
  typed: Pick<Facts, 'typedVolume'>
}

type Asking = Pick<Desk, 'db' | 'today' | 't' | 'format'>

/** In what a volume can be counted anywhere: m3, litres, the group's can, and whatever vessels it has named. */
export async function countOptions({ db, today, t, format }: Asking): Promise<Option[]> {
  return [
    ...['m3', 'litres', 'jerrycans'].map((unit) => ({ value: unit, label: t(`measure.counted-in.${unit}`) })),
    ...vesselOptions({ t, format }, await vesselsOn(db, today)),
  ]
}

interface Count {
  figure: number
  /** One of the options; none is m3. */
  unit: string | null
  /** The vessels are those of this day. */
  on: CalendarDate
}

/** A count as m3; null where nobody has named such a vessel. */
export async function volumeCounted(db: Database, { figure, unit, on }: Count): Promise<WrittenVolume | null> {
  if (unit === null || unit === 'm3') return { volumeM3: figure, typed: {} }
  if (unit === 'litres') return { volumeM3: figure / LITRES_PER_M3, typed: {} }
  const named = (await vesselsOn(db, on)).find(({ name }) => name === unit)
  const litresEach = unit === 'jerrycans' ? await canLitresOn(db, on) : named?.litresEach
  if (litresEach === undefined) return null
  return countedAs(unit, { figure, litresEach, doubtPart: VESSEL_ERROR_FRACTION })
}

/** What is written of a count; no vessel at all is no water, which needs no words of its own. */
export function countedAs(unit: string, typed: TypedVolume): WrittenVolume {
  if (typed.figure === 0) return { volumeM3: 0, typed: {} }
  return { volumeM3: typedVolumeM3(typed).likelyM3, typed: { typedVolume: [{ unit, ...typed }] } }
}

interface Lines {
  /** The figure, and the names of the two lines that say it. */
  figure: number | null
  unit: string | null
  field: string
  unitField: string
  on: CalendarDate
  mostM3: M3
  usual: UsualFigure
}

/** What two lines of a form say as a volume, or the form with what must be mended; what is rare is asked about in m3. */
export async function countTyped(
  db: Database,
  form: Filled,
  { figure, unit, field, unitField, on, mostM3, usual }: Lines,
): Promise<(Omit<WrittenVolume, 'volumeM3'> & { volumeM3: M3 | null }) | { again: Filled }> {
  if (figure === null) return { volumeM3: null, typed: {} }
  const read = await volumeCounted(db, { figure, unit, on })
  if (read === null) return { again: withError(form, unitField, 'error.choose') }
  const { volumeM3 } = read
  if (volumeM3 > mostM3)
    return { again: withError(form, field, 'measure.volume-beyond', { volume: volumeM3, most: mostM3 }) }
  const again = rareVolume(form, field, usual, volumeM3)
  return again ? { again } : read
}

/** The form with the question whether it is really so much; null where it is not seldom, or where its cross says so already. */
export function rareVolume(form: Filled, field: string, usual: UsualFigure, volumeM3: M3 | null): Filled | null {
  const rare = volumeM3 === null ? null : unusual(usual, volumeM3)
  return rare && asking(form, field, rare.key, rare.values)
}
