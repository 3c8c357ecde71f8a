import { addDays } from '../../../domain/calendar.ts'
import { write } from '../../book/pen.ts'
import { typedSentences } from '../../people/measure/state.ts'
import { countOptions, countTyped } from '../../people/measure/volume-state.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import { figure } from '../../web/forms/typed.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { weirOr404 } from '../weir/found.ts'
import type { Weir } from '../weir/store.ts'
import { CoverTermForm } from './forms.ts'
import { type CoverState, coverStates } from './state.ts'
import { coverTermsOn, setCoverTerm } from './store.ts'
import { coverLines, coverSentence, stopSentence } from './words.ts'

/** More than a stream of this kind gives in a week. The bound is ours. */
const MOST_PLAN_M3 = 100_000

/** How long the water of a weir lasts, and what the group settles on for looking ahead. */
export function addCoverPages({ get, post }: Pages): void {
  get('/water/working/lasts/:id', 'water.see', showCover)
  get('/water/settle/plan/:id', 'water.describe', newTerm)
  post('/water/settle/plan/:id', 'water.describe', writeTerm)
}

async function showCover(desk: Desk<'id'>) {
  const states = await coverStates(desk.db, { on: desk.today })
  const one = found(states.find(({ state }) => state.weir.id === desk.params.id))
  const { weir } = one.state
  return page(desk, 'water/cover/page', {
    title: 'outlook.cover.title',
    titleValues: { number: weir.number, name: weir.name },
    one,
    keepUntilOn: one.state.reserve && addDays(one.state.on, one.state.reserve.days),
    sentence: coverSentence(one, desk),
    stop: stopSentence(one, desk),
    counted:
      one.term && one.plan.source === 'own' ? (await typedSentences(desk, [one.term.id])).get(one.term.id) : null,
    weeks: weeksShown(one),
    lines: coverLines(one, desk),
    others: states.filter(({ state }) => state.weir.id !== weir.id).map((other) => otherWeir(other, desk)),
  })
}

async function newTerm(desk: Desk<'id'>) {
  const weir = await weirOr404(desk)
  const term = (await coverTermsOn(desk.db, desk.today)).get(weir.id)
  const typed = {
    weeklyPlan: figure(term?.weeklyPlanM3),
    leakShare: String(Math.round((term?.leakShare ?? 0) * 1000) / 10),
    rechargePerMm: figure(term?.rechargeM3PerMm),
    words: term?.words ?? '',
    fromOn: desk.today,
  }
  return showTerm(desk, weir, emptyForm(typed))
}

async function writeTerm(desk: Desk<'id'>) {
  const weir = await weirOr404(desk)
  const form = readForm(CoverTermForm, desk.body)
  if (!form.ok) return showTerm(desk, weir, form)
  const { weeklyPlan, weeklyPlanIn, leakShare, rechargePerMm, words, fromOn } = form.data
  const lines = { field: 'weeklyPlan', unitField: 'weeklyPlanIn', on: desk.today, mostM3: MOST_PLAN_M3 }
  const count = { ...lines, figure: weeklyPlan, unit: weeklyPlanIn, usual: 'water of a week, m3' } as const
  const read = await countTyped(desk.db, form, count)
  if ('again' in read) return showTerm(desk, weir, read.again)
  const term = {
    weeklyPlanM3: read.volumeM3,
    leakShare: leakShare / 100,
    rechargeM3PerMm: rechargePerMm,
    words,
    fromOn,
  }
  return write(
    desk,
    (pen) => setCoverTerm(pen, { weirId: weir.id, ...term }, read.typed),
    () => `/water/working/lasts/${weir.id}`,
  )
}

function otherWeir(other: CoverState, desk: Desk) {
  return { weir: other.state.weir, sentence: coverSentence(other, desk) }
}

/** From today to the week in which the hopeful case is empty or the late date of rain is past, whichever comes first. */
function weeksShown({ cover, state }: CoverState) {
  if (!cover) return []
  const last = [cover.hopeful.emptyOn, state.lateRainOn].flatMap((on) => on ?? []).sort()[0]
  return cover.middle.weeks.flatMap((middle, at) => {
    if (last !== undefined && middle.fromOn > last) return []
    return [{ middle, cautious: cover.cautious.weeks[at]!, hopeful: cover.hopeful.weeks[at]! }]
  })
}

async function showTerm(desk: Desk, weir: Weir, filled: Filled) {
  return formPage(desk, {
    title: 'outlook.term.title',
    titleValues: { number: weir.number },
    form: CoverTermForm,
    filled,
    options: { weeklyPlanIn: await countOptions(desk) },
    action: `/water/settle/plan/${weir.id}`,
    intro: ['outlook.term.intro'],
    back: `/water/working/lasts/${weir.id}`,
  })
}
