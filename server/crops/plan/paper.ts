import { landField, landNeeded, landWords } from '../../people/measure/land-state.ts'
import { listPlots } from '../../people/plot/store.ts'
import { type Filled, readForm, someOf, withError } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { ManyList } from '../../web/pages/many.ts'
import type { TakeRow } from '../../web/pages/paper-book.ts'
import { cropBook } from '../crop/store.ts'
import { cropNamer } from '../crop/words.ts'
import { plannable, planTrouble } from './check.ts'
import { PlanForm } from './forms.ts'
import { addCropPlan, cropPlans, type NewCropPlan } from './store.ts'

const CropLines = someOf(PlanForm, ['plotId', 'cropKey', 'area', 'sownOn', 'ownArea', 'ownAreaIn'])

/** Crops as the set-up sheet has them: plot by its number, crop by its name. */
export const cropList: ManyList = {
  name: 'crops',
  permission: 'crops.declare',
  form: CropLines,
  marks: async ({ db, today }) => ({
    plotId: (await listPlots(db, today)).map(({ id, number, name }) => ({
      value: id,
      mark: String(number),
      label: name,
    })),
  }),
  words: async (desk) => {
    const { db, today, locale } = desk
    const nameOf = cropNamer(locale)
    const crops = plannable(await cropBook(db), today).map((crop) => ({ value: crop.key, label: nameOf(crop) }))
    return { cropKey: crops.sort((a, b) => a.label.localeCompare(b.label)), ownAreaIn: await landWords(desk) }
  },
  rows: cropRows,
}

/** The same crop on the same ground from the same day on is one crop: known where it is in the book, asked about twice on a page. */
async function cropRows(desk: Desk): Promise<TakeRow> {
  const { db, group, format } = desk
  const inBook = new Set((await cropPlans(db)).map(keyOf))
  const onPage = new Set<string>()
  const crops = await cropBook(db)
  return async (body) => {
    const form = readForm(CropLines, body)
    if (!form.ok) return { ok: false, form }
    const land = await landNeeded(desk, form)
    if ('again' in land) return { ok: false, form: land.again }
    const { plotId, cropKey, sownOn } = form.data
    const plan = { plotId, cropKey, sownOn, ...land }
    const plot = (await listPlots(db, plan.sownOn)).find(({ id }) => id === plan.plotId)
    const wrong = planTrouble({ plan, plot, group, crops, format, areaField: landField(form.data) })
    if (wrong) return refused(form, wrong.field, wrong.key, wrong.values)
    const key = keyOf(plan)
    if (onPage.has(key)) return refused(form, 'cropKey', 'many.crop-twice')
    onPage.add(key)
    return { ok: true, write: inBook.has(key) ? null : (pen) => addCropPlan(pen, plan) }
  }
}

function refused(form: Filled, field: string, key: string, values = {}) {
  return { ok: false as const, form: withError(form, field, key, values) }
}

function keyOf({ plotId, cropKey, areaM2, sownOn }: NewCropPlan): string {
  return [plotId, cropKey, areaM2, sownOn].join(' ')
}
