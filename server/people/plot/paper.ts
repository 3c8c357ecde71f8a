import { ownHousehold } from '../../book/names/own-matter.ts'
import { someOf, withError } from '../../web/forms/forms.ts'
import type { Mark } from '../../web/forms/sheet.ts'
import { type ManyList, numberedRows } from '../../web/pages/many.ts'
import { landTyped, landWords } from '../measure/land-state.ts'
import { listPersons } from '../person/store.ts'
import { METHODS, PlotForm, SOILS } from './forms.ts'
import { addPlot, listPlots } from './store.ts'

const PlotLines = someOf(PlotForm, [
  'number',
  'name',
  'holderIds',
  'area',
  'soil',
  'method',
  'shares',
  'outletIds',
  'ownArea',
  'ownAreaIn',
])

function marked({ id, number, name }: { id: string; number: number; name: string }): Mark {
  return { value: id, mark: String(number), label: name }
}

/** Plots as the set-up sheet has them, from today on; people and outlets go by their numbers. */
export const plotList: ManyList = {
  name: 'plots',
  permission: 'works.describe',
  form: PlotLines,
  marks: async ({ db, today, parts }) => ({
    holderIds: (await listPersons(db)).map(marked),
    outletIds: (await parts.people.outletsOn(db, today)).map(marked),
  }),
  words: async (desk) => ({ ownAreaIn: await landWords(desk) }),
  rows: async (desk) => {
    const { db, today } = desk
    const own = await ownHousehold(desk)
    return numberedRows({
      form: PlotLines,
      known: await listPlots(db, today),
      usual: { shares: '1' },
      check: ({ holderIds }, form) =>
        holderIds.some((id) => own.includes(id)) ? withError(form, 'holderIds', 'names.own-matter') : null,
      make: (form) => landTyped(desk, form, 'area of a plot, m2'),
      write: (pen, { area, ownArea, ownAreaIn, ...plot }, land) => addPlot(pen, { ...plot, ...land, fromOn: today }),
    })
  },
}

/** What may be written of a plot's soil and of how it is watered, as keys of the catalogue. */
export const PLOT_WORDS = { soil: SOILS, method: METHODS }
