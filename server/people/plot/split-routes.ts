import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { InputError } from '../../../domain/input-error.ts'
import { splitPlot } from '../../../domain/people/split.ts'
import { sum } from '../../../domain/sum.ts'
import { isOwnMatter } from '../../book/names/own-matter.ts'
import { write } from '../../book/pen.ts'
import { checks, date, number, optional, text, whole } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError, withInputError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage, numberedOption } from '../../web/pages/form-page.ts'
import { minuteField, minuteOptions } from '../decision/state.ts'
import { COUNTED_LAND, landCounted, landField, landM2, landNeeded, landOptions } from '../measure/land-state.ts'
import { listPersons } from '../person/store.ts'
import { plotOr404 } from './asked.ts'
import { splitsOf, writeSplit } from './split-store.ts'
import { listPlots, type Plot } from './store.ts'

const SplitForm = defineForm('tenure.split', {
  number: whole({ min: 1, max: 9999 }),
  name: text(),
  area: landM2(),
  shares: optional(number({ min: 0, max: 1000 }, 'shares of a plot')),
  holderIds: checks(undefined, { atLeast: 1 }),
  fromOn: date(),
  minute: optional(minuteField()),
  ...COUNTED_LAND,
})

/** One plot becomes two in one act: area, shares and open wishes are shared out and nothing of them is lost. */
export function addSplitPages({ get, post }: Pages): void {
  get('/people/plots/:id/change?as=split', 'works.describe', newSplit)
  post('/people/plots/:id/change?as=split', 'works.describe', postSplit)
}

async function newSplit(desk: Desk<'id'>) {
  const plot = await plotOr404(desk)
  const others = await listPlots(desk.db, desk.today)
  const next = String(Math.max(0, ...others.map((one) => one.number)) + 1)
  return show(desk, plot, emptyForm({ number: next, name: plot.name, fromOn: desk.today }))
}

async function postSplit(desk: Desk<'id'>) {
  const plot = await plotOr404(desk)
  const form = readForm(SplitForm, desk.body)
  if (!form.ok) return show(desk, plot, form)
  if (!plot.isAreaKnown) return show(desk, plot, withError(form, 'area', 'tenure.split.tape-first'))
  const { number, name, shares, holderIds, fromOn, minute } = form.data
  const land = await landNeeded(desk, form)
  if ('again' in land) return show(desk, plot, land.again)
  if ((await listPlots(desk.db, desk.today)).some((one) => one.number === number)) {
    return show(desk, plot, withError(form, 'number', 'people.number-taken', { number }))
  }
  if (fromOn < desk.today) return show(desk, plot, withError(form, 'fromOn', 'tenure.split.past'))
  const taken = holderIds.filter((id) => !plot.holders.some((holder) => holder.id === id))
  if (await isOwnMatter(desk, taken)) return show(desk, plot, withError(form, 'holderIds', 'names.own-matter'))
  const halves = halvesOf(plot, { ...land, shares })
  if (halves instanceof InputError) {
    return show(
      desk,
      plot,
      withInputError(form, halves.code === 'split-shares' ? 'shares' : landField(form.data), halves),
    )
  }
  const { stays, goes } = halves
  const crops = await desk.parts.people.mostGroundFrom(desk.db, plot.id, fromOn)
  if (Math.min(crops, plot.areaM2) > stays.areaM2) {
    const values = { ground: desk.format.whole(crops), stays: desk.format.whole(stays.areaM2) }
    return show(desk, plot, withError(form, landField(form.data), 'tenure.split.crops', values))
  }
  return write(
    desk,
    async (pen) => {
      const newPlotId = await writeSplit(pen, { plot, number, name, holderIds, fromOn, stays, goes, minute })
      const areas = [stays.areaM2, goes.areaM2] as const
      await desk.parts.people.splitWishes(pen, { plotId: plot.id, newPlotId, fromOn, areas })
    },
    () => `/people/plots/${plot.id}`,
  )
}

function halvesOf(plot: Plot, part: { areaM2: number; shares: number | null }) {
  try {
    return splitPlot(plot, part)
  } catch (error) {
    if (error instanceof InputError) return error
    throw error
  }
}

async function show(desk: Desk<'id'>, plot: Plot, filled: Filled) {
  const { t, format } = desk
  const wished = await wishedWords(desk, [plot.id])
  const counted = await landCounted(desk, plot.areaM2)
  return formPage(desk, {
    title: 'tenure.split.title',
    titleValues: { number: plot.number },
    form: SplitForm,
    filled,
    options: {
      holderIds: (await listPersons(desk.db)).map(numberedOption),
      minute: await minuteOptions(desk),
      ownAreaIn: await landOptions(desk),
    },
    notes: [
      t('tenure.split.whole', { area: format.whole(plot.areaM2), shares: format.two(plot.shares), wished }),
      ...(counted ? [counted] : []),
      t('tenure.split.stays'),
    ],
    action: `/people/plots/${plot.id}/change?as=split`,
    back: `/people/plots/${plot.id}`,
  })
}

/** Each split of a plot in a sentence with its sums, and what both plots now wish for together. */
export async function splitsInWords(desk: Desk, plotId: Id<'plot'>): Promise<string[]> {
  const { t, format } = desk
  const told = []
  for (const split of await splitsOf(desk.db, plotId)) {
    const wished = await wishedWords(desk, [split.plotId, split.newPlotId], split.splitOn)
    told.push(
      t('tenure.split.line', {
        date: format.date(split.splitOn),
        old: split.oldNumber,
        new: split.newNumber,
        area: format.whole(split.areaM2),
        stayed: format.whole(split.areaM2 - split.newAreaM2),
        went: format.whole(split.newAreaM2),
        shares: format.two(split.shares),
        stayedShares: format.two(split.shares - split.newShares),
        wentShares: format.two(split.newShares),
        wished,
      }),
    )
  }
  return told
}

/** What plots wish for in each week to come, together. */
async function wishedWords({ db, t, format, parts, today }: Desk, plotIds: readonly Id<'plot'>[], from = today) {
  const fromOn: CalendarDate = from > today ? from : today
  const wishes = (await Promise.all(plotIds.map((id) => parts.people.openWishes(db, id, fromOn)))).flat()
  if (wishes.length === 0) return t('tenure.split.wished-nothing')
  if (wishes.some(({ volumeM3 }) => volumeM3 === null)) return t('tenure.split.wished-need')
  return t('tenure.split.wished', { volume: format.toLitre(sum(wishes, ({ volumeM3 }) => volumeM3!)) })
}
