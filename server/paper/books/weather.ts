import { WeatherForm } from '../../crops/forms.ts'
import { dayTrouble } from '../../crops/weather/day-trouble.ts'
import { addWeatherDay, weatherDays } from '../../crops/weather/store.ts'
import { currentGroup } from '../../people/group/store.ts'
import { readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import type { TakeRow, Typing } from './types.ts'

/** The weather sheet from paper. A day that stands already is mended on its own page, where the reason is asked for. */
export async function weatherRows({ db, request }: Typing): Promise<TakeRow> {
  const group = found(await currentGroup(db))
  const onPage = new Set<string>()
  return async (body) => {
    const form = readForm(WeatherForm, body)
    if (!form.ok) return { ok: false, form }
    const { reason: _, ...reading } = form.data
    const wrong = dayTrouble({ reading, group, today: request.visit.today, replaces: false, reason: null })
    if (wrong) return { ok: false, form: withError(form, wrong.field, wrong.key, wrong.values) }
    const stands = await weatherDays(db, { fromOn: reading.onDate, toOn: reading.onDate })
    if (stands.length > 0 || onPage.has(reading.onDate)) {
      return { ok: false, form: withError(form, 'onDate', 'paper.day-stands') }
    }
    onPage.add(reading.onDate)
    return { ok: true, write: (pen) => addWeatherDay(pen, reading) }
  }
}
