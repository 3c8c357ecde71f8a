import { InputError } from '../../domain/input-error.ts'
import { checkedDayDemand } from '../crops/day-demand.ts'
import { WeatherForm } from '../crops/forms.ts'
import { FIELD_OF_REFUSAL, READING_LIMITS, type ReadingField } from '../crops/reading-limits.ts'
import { addWeatherDay, type WeatherReading, weatherDays } from '../crops/weather-store.ts'
import { currentGroup, type Group } from '../people/group-store.ts'
import { found } from '../web/errors.ts'
import { readForm, withError } from '../web/forms.ts'
import type { TakeRow, Typing } from './paper-books.ts'

/** The weather sheet from paper. A day that stands already is mended on its own page, where the reason is asked for. */
export async function weatherRows({ db, request }: Typing): Promise<TakeRow> {
  const group = found(await currentGroup(db))
  const onPage = new Set<string>()
  return async (body) => {
    const form = readForm(WeatherForm, body)
    if (!form.ok) return { ok: false, form }
    const { reason: _, ...reading } = form.data
    const wrong = troubleOf(reading, group, request.visit.today)
    if (wrong) return { ok: false, form: withError(form, wrong.field, wrong.key, wrong.values) }
    const stands = await weatherDays(db, { fromOn: reading.onDate, toOn: reading.onDate })
    if (stands.length > 0 || onPage.has(reading.onDate)) {
      return { ok: false, form: withError(form, 'onDate', 'paper.day-stands') }
    }
    onPage.add(reading.onDate)
    return { ok: true, write: (pen) => addWeatherDay(pen, reading) }
  }
}

function troubleOf(reading: WeatherReading, group: Group, today: string) {
  if (reading.onDate > today) return { field: 'onDate', key: 'crops.wrong.day-to-come', values: {} }
  const fields = Object.keys(READING_LIMITS) as ReadingField[]
  if (fields.every((field) => reading[field] === null)) {
    return { field: 'tmaxC', key: 'crops.wrong.nothing-read', values: {} }
  }
  try {
    checkedDayDemand(group, reading)
    return null
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    return { field: FIELD_OF_REFUSAL[error.code] ?? 'tmaxC', key: `crops.wrong.${error.code}`, values: error.values }
  }
}
