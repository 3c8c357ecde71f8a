import { type CalendarDate, isCalendarDate } from '../../../domain/calendar.ts'
import { tryBooking } from '../../../domain/rotation/booking.ts'
import { weekStartOf } from '../../../domain/weeks.ts'
import { askedFacts } from '../../book/asked/store.ts'
import type { Pen } from '../../book/entries.ts'
import { write } from '../../book/pen.ts'
import { rareVolume } from '../../people/measure/volume-state.ts'
import { askOthersMark, marksOfOthers } from '../../people/plot/co-holder-state.ts'
import { listPlots } from '../../people/plot/store.ts'
import type { Values } from '../../web/figures/locale.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { listOutlets } from '../../works/pump/store.ts'
import { clockMinute } from '../clock.ts'
import { customRefusal } from '../custom-refusal.ts'
import { standingWeek } from '../outcome/standing-week.ts'
import { holderNames, onlyIfSpeaksFor, ownPlots, plotsToSpeakFor, spokenFor } from '../plots.ts'
import { restRefusal } from '../rest-refusal.ts'
import { volumeOptions, volumeTyped } from '../typed-volume.ts'
import { BookingForm } from './forms.ts'
import { domainWeek, freeWeeks, minuteNow } from './state.ts'
import { addBooking, bookableWeek } from './store.ts'

/** After publication: pump hours that nobody has are booked first come, within water and entitlement. */
export function addBookingPages({ get, post }: Pages): void {
  get('/turns/asked?as=free', 'turns.see', showSlots)
  get('/turns/ask?as=free', 'water.request', newBooking)
  post('/turns/ask?as=free', 'water.request', writeBooking)
}

async function showSlots(desk: Desk) {
  return page(desk, 'rotation/booking', { title: 'day.slots-title', weeks: await freeWeeks(desk) })
}

/** The own plot and outlet that the pump of the chosen hours reaches. */
async function newBooking(desk: Desk) {
  const { on = desk.today, start = '', pump } = desk.query
  const plots = await ownPlots(desk, desk.today)
  const outlets = await listOutlets(desk.db, desk.today)
  const reached = outlets.filter(({ pumpId }) => pumpId === pump).map(({ id }) => id)
  const own = plots.find(({ outletIds }) => outletIds.some((id) => reached.includes(id))) ?? plots[0]
  const outletId = own?.outletIds.find((id) => reached.includes(id)) ?? own?.outletIds[0] ?? ''
  return show(desk, emptyForm({ plotId: own?.id ?? '', outletId, onDate: on, start }))
}

async function writeBooking(desk: Desk) {
  const { db, today, person, group, t } = desk
  const form = readForm(BookingForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { plotId, outletId, onDate: on, start, volume, volumeIn } = form.data
  const startMinute = clockMinute(start)
  if (on < today) return show(desk, withError(form, 'onDate', 'day.booking-past'))
  if (on === today && startMinute <= minuteNow(desk)) return show(desk, withError(form, 'start', 'day.booking-past'))
  const plot = (await listPlots(db, on)).find((one) => one.id === plotId)
  if (!plot) return show(desk, withError(form, 'plotId', 'error.choose'))
  onlyIfSpeaksFor(desk, plot)
  if (!plot.outletIds.includes(outletId)) {
    return show(desk, withError(form, 'outletId', 'day.outlet-does-not-reach'))
  }
  const rests = await restRefusal(desk, { on, outletIds: [outletId] })
  if (rests) return show(desk, withError(form, 'onDate', ...rests))
  const free = await customRefusal(desk, plot, { on, startMinute, endMinute: startMinute + 1 })
  if (free) return show(desk, withError(form, free.field, free.key, free.values))
  const outlet = (await listOutlets(db, on)).find(({ id }) => id === outletId)
  const typing = { figure: volume, unit: volumeIn, today, outlet }
  const read = await volumeTyped(db, typing, { figure: 'volume', unit: 'volumeIn', outlet: 'outletId' })
  if ('field' in read) return show(desk, withError(form, read.field, read.key, read.values))
  const rare = rareVolume(form, 'volume', 'water of a turn, m3', read.volumeM3)
  if (rare) return show(desk, rare)
  const wish: Wish = { plotId, outletId, on, startMinute, volumeM3: read.volumeM3 }
  const weekStartOn = weekStartOf(on, group)
  const forPersonId = spokenFor(plot, person.id)
  // What is booked comes off the part that all who hold the plot have together.
  const marks = marksOfOthers(desk, plot)
  if (marks === null) return askOthersMark(desk, plot, '/turns/asked?as=free')
  const facts = { ...read.typed, ...askedFacts(form.data), ...marks }
  try {
    return await write(
      desk,
      async (pen) => {
        const turn = await bookedTurn(pen, desk, weekStartOn, wish)
        const meets = await customRefusal({ ...desk, db: pen.trx }, plot, turn)
        if (meets) throw new Refused(meets.field, meets.key, meets.values)
        return addBooking(pen, { weekStartOn, turn, reason: t('day.booking-reason'), forPersonId, facts })
      },
      () => `/log/days/${on}`,
    )
  } catch (error) {
    if (!(error instanceof Refused)) throw error
    return show(desk, withError(form, error.field, error.key, error.values))
  }
}

type Wish = Parameters<typeof tryBooking>[1]

/** Read again inside the transaction: whoever comes second finds the hours taken. */
async function bookedTurn(pen: Pen, { format }: Desk, weekStartOn: CalendarDate, wish: Wish) {
  const week = await bookableWeek(pen.trx, weekStartOn)
  if (!week) throw new Refused('onDate', 'day.booking-not-published')
  const tried = tryBooking(domainWeek(week), wish)
  if ('turn' in tried) return tried.turn
  const left = 'leftM3' in tried ? format.toLitre(tried.leftM3) : ''
  const fits = 'leftM3' in tried && tried.leftM3 > 0 ? 'some' : 'none'
  throw new Refused(fieldOf(tried.refusal), `day.booking-${tried.refusal}`, { left, fits })
}

/** Thrown inside the transaction, so that a booking that came too late leaves nothing behind. */
class Refused extends Error {
  readonly field: string
  readonly key: string
  readonly values: Values

  constructor(field: string, key: string, values: Values = {}) {
    super(key)
    this.field = field
    this.key = key
    this.values = values
  }
}

const OF_WATER = ['no-water', 'kept-for-short', 'beyond-entitlement']

function fieldOf(refusal: string): string {
  if (refusal === 'by-gravity') return 'outletId'
  if (refusal === 'not-in-week' || refusal === 'closed' || refusal === 'turn-there-already') return 'onDate'
  return OF_WATER.includes(refusal) ? 'volume' : 'start'
}

async function show(desk: Desk, filled: Filled) {
  const typed = String(filled.values.onDate ?? '')
  const on = isCalendarDate(typed) ? typed : desk.today
  const plots = await plotsToSpeakFor(desk, on)
  const week = await standingWeek(desk.db, weekStartOf(on, desk.group))
  const reached = new Set<string>(plots.flatMap(({ outletIds }) => outletIds))
  const direct = (week?.inputs.outlets ?? []).filter((outlet) => !outlet.tankId && reached.has(outlet.id))
  return formPage(desk, {
    title: 'day.booking.title',
    form: BookingForm,
    filled,
    options: {
      plotId: plots.map((plot) => ({ value: plot.id, label: `${plot.number} ${holderNames(plot)}` })),
      outletId: direct.map(numberedOption),
      volumeIn: await volumeOptions(desk),
    },
    action: '/turns/ask?as=free',
    intro: ['day.booking.intro'],
    back: '/turns/asked?as=free',
  })
}
