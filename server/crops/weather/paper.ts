import { addWeatherDay, weatherDays } from '../../water/weather/store.ts'
import { readForm, withError } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { PaperBook, TakeRow } from '../../web/pages/paper-book.ts'
import { cropSettings } from '../setting/store.ts'
import { dayTrouble, placeOf } from './day-demand.ts'
import { readingOf, WeatherForm } from './forms.ts'

/** The weather sheet on paper. */
export const weatherBook: PaperBook = {
  name: 'weather',
  sheet: () => ({ form: WeatherForm, head: [], without: ['reason'] }),
  typing: { permission: 'weather.record', rows: weatherRows },
}

/** A day that stands already is mended on its own page, where the reason is asked for. */
async function weatherRows({ db, group, today }: Desk): Promise<TakeRow> {
  const onPage = new Set<string>()
  const place = placeOf(group, (await cropSettings(db, today)).demandRule)
  return async (body) => {
    const form = readForm(WeatherForm, body)
    if (!form.ok) return { ok: false, form }
    const reading = readingOf(form.data)
    const wrong = dayTrouble({ reading, place, today, replaces: false, reason: null })
    if (wrong) return { ok: false, form: withError(form, wrong.field, wrong.key, wrong.values) }
    const stands = await weatherDays(db, { fromOn: reading.onDate, toOn: reading.onDate })
    if (stands.length > 0 || onPage.has(reading.onDate)) {
      return { ok: false, form: withError(form, 'onDate', 'paper.day-stands') }
    }
    onPage.add(reading.onDate)
    return { ok: true, write: (pen) => addWeatherDay(pen, reading) }
  }
}
