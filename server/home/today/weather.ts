import { addDays } from '../../../domain/calendar.ts'
import { lastWeatherBy } from '../../water/weather/store.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Line } from './line.ts'

/** Whoever wrote the weather within so many days reads it; common practice, no source. */
const READER_DAYS = 14

/** Whoever has written the weather of late is reminded of today's. */
export async function weatherLine({ db, today, t, format, person, may }: Desk): Promise<Line[]> {
  if (!may('weather.record')) return []
  const lastOn = await lastWeatherBy(db, { personId: person.id, fromOn: addDays(today, -READER_DAYS) })
  if (lastOn === undefined || lastOn >= today) return []
  const small = t('today.weather-words', { date: format.date(lastOn) })
  return [{ picture: 'crops', words: t('today.weather'), small, href: '/crops/weather/new' }]
}
