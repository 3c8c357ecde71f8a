import { DateTime } from 'luxon'
import { write } from '../../book/pen.ts'
import { clocksToldBack } from '../../people/clock/back-store.ts'
import { text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { localDate } from '../../web/pages/visit.ts'
import { unnamedTests } from '../../works/flow-test/unnamed-store.ts'
import { openExchanges } from '../../works/meter/store.ts'
import { findAbstraction, listAbstractions } from '../draw/store.ts'
import { subjectWords } from '../merged/subject-store.ts'
import { flagWords } from './flags.ts'
import { BY_THE_HOUR, type HourInDoubt, hoursInDoubt, REGISTER_OF } from './hour-store.ts'
import { ownMatters } from './own-store.ts'
import { oddOfSeason, openFlags, settledFlags, settleFlag } from './store.ts'

/** What somebody is told who wrote one of the entries that a point is about. */
const OWN = 'abstractions.flags.own'

const SettleForm = defineForm('abstractions.settle', { words: text({ max: 300 }) })

/** Everything odd in the season's log that nobody has settled yet, and the words that settle it. */
export function addFlagPages({ get, post }: Pages): void {
  get('/log/check', 'abstractions.see', showFlags)
  get('/log/settle/odd/:id/:code', 'abstraction.log', newSettling)
  post('/log/settle/odd/:id/:code', 'abstraction.log', writeSettling)
}

async function showFlags(desk: Desk) {
  const { db, group, timeZone, t, format } = desk
  const { open, settled } = await oddOfSeason(db, { group, timeZone })
  const own = desk.may('abstraction.log') ? await ownMatters(desk, open) : new Set()
  const shown = open.map((matter) => {
    const { draw, flag } = matter
    return { draw, code: flag.code, isOwn: own.has(matter), ...flagWords(t, format, flag) }
  })
  const done = settled.map(({ found: words, draw, flag }) => ({
    ...words,
    draw,
    matter: flag && flagWords(t, format, flag),
  }))
  const unnamed = []
  for (const one of await unnamedPoints(desk)) unnamed.push({ ...one, names: await namesShown(desk, one.id) })
  const { hours, settledHours } = await shownHours(desk)
  return page(desk, 'abstractions/flags', {
    title: 'abstractions.flags.title',
    unnamed,
    hours,
    open: shown,
    settled: done,
    settledHours,
  })
}

/** What hangs on an hour that nobody can be sure of, and what was found about others. */
async function shownHours(desk: Desk) {
  const { db, timeZone } = desk
  const done = (await settledFlags(db)).filter(({ code }) => code === BY_THE_HOUR)
  const words = await subjectWords(
    desk,
    done.map(({ subjectId }) => subjectId),
  )
  return {
    hours: (await hoursInDoubt(desk)).map((one) => ({
      ...one,
      on: localDate(new Date(one.writtenAt), timeZone),
      ...hourWords(desk, one),
    })),
    settledHours: done.map((one) => ({ ...one, what: words.get(one.subjectId) ?? '' })),
  }
}

/** What one of them is, whose plot it is about, and where it is read. */
function hourWords({ t, format, timeZone }: Desk, { kind, writtenAt, plotNumber, turnId, turnOn }: HourInDoubt) {
  const [register, page] = REGISTER_OF[kind]!
  const { hour, minute } = DateTime.fromISO(writtenAt, { zone: timeZone })
  const day = format.clock(hour * 60 + minute)
  const plot = plotNumber === null ? [] : [t('abstractions.plot-line', { number: plotNumber })]
  const href = turnId === null ? page : `/log/days/${turnOn}?open=turn-${turnId}#turn-${turnId}`
  return { what: [t(`told.${register}`, { day }), ...plot].join(', '), href }
}

/** What holds already, and is open until another officer puts a name under it: new meters, and flow tests far from the one before. */
async function unnamedPoints(desk: Desk) {
  const { db, t, format } = desk
  const meters = (await openExchanges(db)).map(({ id, onDate, pumpNumber, oldLastM3, newFirstM3, writerName }) => ({
    id,
    on: onDate,
    href: `/log/lines/new-meter/${id}`,
    at: t('abstractions.pump-line', { number: pumpNumber }),
    what: t('abstractions.flags.exchanged', {
      old: format.toLitre(oldLastM3),
      first: format.toLitre(newFirstM3),
      writer: writerName,
    }),
  }))
  const tests = (await unnamedTests(db)).map(
    ({ id, testedOn, outletId, outletNumber, outletName, writerName, ...flows }) => ({
      id,
      on: testedOn,
      href: `/works/outlets/${outletId}`,
      at: t('abstractions.outlet-short', { number: outletNumber, name: outletName }),
      what: t('abstractions.flags.tested', {
        flow: format.one(flows.flowM3PerH),
        earlier: format.one(flows.earlierM3PerH),
        writer: writerName,
      }),
    }),
  )
  return [...(await clocksBack(desk)), ...meters, ...tests]
}

/** That a clock had stood ahead and is mended, as somebody said. */
async function clocksBack({ db, t, format, timeZone }: Desk) {
  return (await clocksToldBack(db)).map(({ id, toldAt, writtenAt, writerName }) => ({
    id,
    on: localDate(new Date(writtenAt), timeZone),
    href: null,
    at: '',
    what: t('abstractions.flags.clock-back', {
      writer: writerName,
      told: format.instant(toldAt),
      before: format.instant(writtenAt),
    }),
  }))
}

type OfFlag = Desk<'id' | 'code'>

async function newSettling(desk: OfFlag) {
  const isOwn = await isOwnOr404(desk)
  return show(desk, emptyForm(), isOwn ? [OWN] : [])
}

async function writeSettling(desk: OfFlag) {
  const isOwn = await isOwnOr404(desk)
  const form = readForm(SettleForm, desk.body)
  if (!form.ok) return show(desk, form)
  if (isOwn) return show(desk, withError(form, 'words', OWN))
  const { code } = desk.params
  const { words } = form.data
  const subjectIds = await settledWith(desk)
  return write(
    desk,
    async (pen) => {
      for (const subjectId of subjectIds) await settleFlag(pen, { subjectId, code, words })
    },
    () => '/log/check',
  )
}

/** One look at a clock settles every hour that hung on it, but for those of whoever looked. */
async function settledWith(desk: OfFlag): Promise<string[]> {
  const { id, code } = desk.params
  if (code !== BY_THE_HOUR) return [id]
  return (await hoursInDoubt(desk)).filter(({ isOwn }) => !isOwn).map((one) => one.id)
}

/** Whether an open point is about an entry of this visitor; a page that is not there for any other. */
async function isOwnOr404(desk: OfFlag): Promise<boolean> {
  const { db, params, timeZone } = desk
  if (params.code === BY_THE_HOUR) return found((await hoursInDoubt(desk)).find((one) => one.id === params.id)).isOwn
  const draw = found(await findAbstraction(db, params.id))
  const draws = await listAbstractions(db, { fromOn: draw.onDate, toOn: draw.onDate })
  const flags = await openFlags(db, { draws, timeZone })
  const flag = found(flags.get(params.id)?.find(({ code }) => code === params.code))
  return (await ownMatters(desk, [{ draw, flag }])).size > 0
}

async function show(desk: OfFlag, filled: Filled, intro: string[] = []) {
  const { id, code } = desk.params
  return formPage(desk, {
    title: 'abstractions.flags.settle-title',
    form: SettleForm,
    filled,
    intro,
    action: `/log/settle/odd/${id}/${code}`,
    back: code === BY_THE_HOUR ? '/log/check' : `/log/lines/drawn/${id}`,
  })
}
