import { InputError } from '../../../domain/input-error.ts'
import { write } from '../../book/pen.ts'
import { addWeatherDay, weatherDays } from '../../water/weather/store.ts'
import type { Translate } from '../../web/figures/locale.ts'
import { emptyForm, type Filled, type ReadForm, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { cropSettings } from '../setting/store.ts'
import { placeOf } from './day-demand.ts'
import { UploadForm, USUAL_COLUMNS } from './forms.ts'
import { ColumnError, ListError, readWeatherList, type WeatherList, type WeatherListInput } from './list.ts'
import { READING_LIMITS, type ReadingField } from './reading-limits.ts'

/** A larger file is not written back into the box for mending: the page would not come through on a weak network. */
const MOST_PASTED_BACK = 200_000

/** A list of many days, as a file or pasted; all of it goes into the book or nothing. */
export function addUploadPages({ get, post }: Pages): void {
  get('/crops/weather/list', 'weather.record', newList)
  post('/crops/weather/list', 'weather.record', writeList)
}

async function newList(desk: Desk) {
  return show(desk, emptyForm({ dateOrder: 'year-first', ...USUAL_COLUMNS }))
}

async function writeList(desk: Desk) {
  const form = readForm(UploadForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { list, pasted, dateOrder, onDate, windHeight, windUnit, psychrometer, galesTrue, rareTrue, ...named } =
    form.data
  const text = list ?? pasted
  if (text === null) return show(desk, withError(form, 'list', 'crops.wrong.list-empty'))
  const columns = Object.fromEntries(Object.entries(named).filter(([, column]) => column !== null))
  if (Object.keys(columns).length === 0) {
    return show(desk, withError(form, 'tmaxC', 'crops.wrong.no-reading-column'))
  }
  const everything = await weatherDays(desk.db, { fromOn: '0001-01-01', toOn: desk.today })
  const standing = new Map(everything.map((day) => [day.onDate, day]))
  const read = tryToRead({
    text,
    order: dateOrder,
    dateColumn: onDate,
    columns,
    windUnit,
    psychrometer,
    windHeightM: windHeight,
    galesTrue,
    rareTrue,
    today: desk.today,
    place: placeOf(desk.group, (await cropSettings(desk.db, desk.today)).demandRule),
    standing,
    mayChange: desk.may('weather.change'),
  })
  if (!read.ok) return show(desk, refused(form, read.error, list, desk.t))
  if (read.list.days.length === 0) return show(desk, withError(form, 'list', 'crops.wrong.all-unchanged'))
  const reason = desk.t('crops.upload.reason')
  const month = read.list.days
    .map((day) => day.onDate.slice(0, 7))
    .sort()
    .at(-1)!
  return write(
    desk,
    async (pen) => {
      for (const day of read.list.days) await addWeatherDay(pen, day, standing.has(day.onDate) ? { reason } : {})
    },
    () => `/crops/weather?month=${month}`,
  )
}

type Reading = { ok: true; list: WeatherList } | { ok: false; error: InputError | ListError }

function tryToRead(input: WeatherListInput): Reading {
  try {
    return { ok: true, list: readWeatherList(input) }
  } catch (error) {
    if (error instanceof InputError || error instanceof ListError) return { ok: false, error }
    throw error
  }
}

/** Says where the list is wrong; a file comes back in the box below, so that it can be mended there. */
function refused(form: Filled, error: InputError | ListError, list: string | null, t: Translate): ReadForm<never> {
  const mendable = list !== null && list.length <= MOST_PASTED_BACK && !/[\ufffd\0]/.test(list)
  const shown = mendable ? { ...form, values: { ...form.values, pasted: list } } : form
  if (error instanceof ColumnError) return withError(shown, error.field, `crops.wrong.${error.code}`, error.values)
  const field = list === null || mendable ? 'pasted' : 'list'
  if (error instanceof ListError) return withError(shown, field, 'crops.wrong.rows', rowsInWords(error, t))
  return withError(shown, field, `crops.wrong.${error.code}`, error.values)
}

function rowsInWords({ troubles }: ListError, t: Translate) {
  const first = troubles[0]!
  const sentence = t(`crops.row.${first.code}`, withFieldName(first.values, t))
  return { sentence, others: troubles.length - 1 }
}

/** The domain names a reading by its code name; a page says what it is called on the form. */
function withFieldName(values: Record<string, string | number>, t: Translate) {
  const field = values.field
  if (typeof field !== 'string' || !(field in READING_LIMITS)) return values
  return { ...values, field: t(`crops.weather.${field as ReadingField}`) }
}

function show(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'crops.upload.title',
    intro: ['crops.upload.intro', 'crops.upload.intro-rows'],
    form: UploadForm,
    filled,
    action: '/crops/weather/list',
    back: '/crops/weather',
  })
}
