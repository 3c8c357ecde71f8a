import { pacedAreaM2 } from '../../../domain/people/measure.ts'
import { area, type Field, seldom, select, unlessSaid } from '../../web/forms/fields.ts'
import { asking, type Filled, withError } from '../../web/forms/forms.ts'
import { unusual } from '../../web/forms/unusual.ts'
import type { UsualFigure } from '../../web/forms/usual.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Option } from '../../web/pages/form-page.ts'
import { landMeasuresOn } from './store.ts'

/** How large a piece of land is: in m2, or counted in what `landOptions` offers; `landTyped` reads either. */
export const landM2 = (): Field<number | null> => unlessSaid(area({ min: 1, max: 1_000_000 }, 'area of a plot, m2'))

/** The lines of a count, the same on every form; asked about once it is put into m2. */
export const COUNTED_LAND = {
  ownArea: { ...seldom(area({ min: 0.01, max: 1_000_000 })), words: 'measure.own-area' },
  ownAreaIn: { ...seldom(select()), words: 'measure.own-area-in' },
}

const PACES = 'paces'
const LEAST_M2 = 1
const MOST_M2 = 1_000_000

type Asking = Pick<Desk, 'db' | 'today' | 't' | 'format'>

/** In what a piece of land can be typed beside m2: paces, and whatever the group has named. */
export async function landOptions({ db, today, t, format }: Asking): Promise<Option[]> {
  const named = await landMeasuresOn(db, today)
  return [
    { value: PACES, label: t('measure.paces') },
    ...named.map(({ name, m2Each }) => ({
      value: name,
      label: t('measure.land-sized', { name, size: format.one(m2Each) }),
    })),
  ]
}

interface TypedLand {
  area: number | null
  /** A count of the group's own measure, or paces by paces. */
  ownArea: number | null
  ownAreaIn: string | null
}

/** An area in m2 from what was typed in either way, or the form with what must be mended; a guess by paces is asked about with its range. */
export async function landTyped(
  desk: Asking,
  form: Filled & { data: TypedLand },
  usual: UsualFigure,
): Promise<{ areaM2: number | null } | { again: Filled }> {
  const { area, ownArea, ownAreaIn } = form.data
  if (ownArea === null)
    return ownAreaIn === null ? { areaM2: area } : { again: withError(form, 'ownArea', 'error.missing') }
  if (area !== null) return { again: withError(form, 'ownArea', 'measure.area-twice') }
  if (ownAreaIn === null) return { again: withError(form, 'ownAreaIn', 'error.choose') }
  const paced = ownAreaIn === PACES ? pacedAreaM2(ownArea) : null
  const named = (await landMeasuresOn(desk.db, desk.today)).find(({ name }) => name === ownAreaIn)
  if (!paced && !named) return { again: withError(form, 'ownAreaIn', 'error.choose') }
  const areaM2 = Math.round(paced ? paced.likelyM2 : ownArea * named!.m2Each)
  if (areaM2 < LEAST_M2 || areaM2 > MOST_M2)
    return {
      again: withError(form, 'ownArea', 'measure.area-beyond', { area: areaM2, least: LEAST_M2, most: MOST_M2 }),
    }
  const { whole } = desk.format
  const values = paced && { area: whole(areaM2), low: whole(paced.lowM2), high: whole(paced.highM2) }
  const rare = unusual(usual, areaM2)
  const question = values ? { key: 'measure.area-paced', values } : rare
  const again = question && asking(form, 'ownArea', question.key, question.values)
  return again ? { again } : { areaM2 }
}

/** The same where the area must be known. */
export async function landNeeded(
  desk: Asking,
  form: Filled & { data: TypedLand },
): Promise<{ areaM2: number } | { again: Filled }> {
  const land = await landTyped(desk, form, 'area of a plot, m2')
  if ('again' in land) return land
  const { areaM2 } = land
  return areaM2 === null ? { again: withError(form, 'area', 'error.missing') } : { areaM2 }
}

/** Where somebody typed an area, so that what is wrong with it stands beside it. */
export function landField({ ownArea }: TypedLand): 'area' | 'ownArea' {
  return ownArea === null ? 'area' : 'ownArea'
}

/** What a cell of a sheet may say in the place of a choice. */
export async function landWords(desk: Asking): Promise<Option[]> {
  return (await landOptions(desk)).map(({ value, label }) => ({ value, label: value === PACES ? label : value }))
}

/** An area in each of the group's own measures of land; empty where it has none. */
export async function landCounted({ db, today, t, format }: Asking, areaM2: number): Promise<string> {
  const named = await landMeasuresOn(db, today)
  return named
    .map(({ name, m2Each }) => t('measure.own-count', { name, count: format.two(areaM2 / m2Each) }))
    .join(', ')
}
