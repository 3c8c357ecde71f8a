import { write } from '../../book/pen.ts'
import { text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { unnamedTests } from '../../works/flow-test/unnamed-store.ts'
import { openExchanges } from '../../works/meter/store.ts'
import { findAbstraction, listAbstractions } from '../draw/store.ts'
import { flagWords } from './flags.ts'
import { ownMatters } from './own-store.ts'
import { oddOfSeason, openFlags, settleFlag } from './store.ts'

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
  return page(desk, 'abstractions/flags', { title: 'abstractions.flags.title', unnamed, open: shown, settled: done })
}

/** What holds already, and is open until another officer puts a name under it: new meters, and flow tests far from the one before. */
async function unnamedPoints({ db, t, format }: Desk) {
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
  return [...meters, ...tests]
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
  const { id, code } = desk.params
  return write(
    desk,
    (pen) => settleFlag(pen, { subjectId: id, code, words: form.data.words }),
    () => '/log/check',
  )
}

/** Whether an open point is about an entry of this visitor; a page that is not there for any other. */
async function isOwnOr404(desk: OfFlag): Promise<boolean> {
  const { db, params, timeZone } = desk
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
    back: `/log/lines/drawn/${id}`,
  })
}
