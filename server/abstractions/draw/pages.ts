import { vesselOptions } from '../../people/measure/state.ts'
import { vesselsOn } from '../../people/measure/store.ts'
import { listPersons } from '../../people/person/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import type { Filled, Form } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { numberedOption, type Option } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { placeOptions, worksOn } from '../place/store.ts'
import { laterFields, UNITS } from './forms.ts'
import { WAYS, type Way } from './types.ts'

interface DrawPage {
  title: string
  titleValues?: Record<string, string | number>
  form: Form
  filled: Filled
  method: Way
  /** Ways that cannot measure this water. */
  without?: readonly Way[]
  action: string
  /** The same page for another way of measuring: everything of its address but the method. */
  self: string
  hidden?: Record<string, string>
  /** What the attendant should see before typing, label and value in words. */
  facts?: [string, string][]
  notes?: string[]
  cautions?: string[]
  submit?: string
  back: string
  /** What may be said of a turn instead of what was drawn. */
  otherwise?: { turnId: string; causes: string[] } | null
}

/** The page of one draw: what is known beforehand, the ways to measure it, and the form. */
export async function drawPage(desk: Desk, shown: DrawPage) {
  const { db, today, t } = desk
  if (Object.keys(shown.filled.errors).length > 0) desk.reply.code(422)
  const options = {
    place: placeOptions(await worksOn(db, today), t),
    plotId: (await listPlots(db, today)).map(numberedOption),
    takerId: (await listPersons(db)).map(numberedOption),
    unit: await unitOptions(desk),
  }
  return page(desk, 'abstractions/draw/form', {
    facts: [],
    notes: [],
    submit: 'layout.save',
    ...shown,
    options,
    hidden: { ...shown.hidden, method: shown.method },
    ...orderOf(shown),
    ways: WAYS.filter((way) => !shown.without?.includes(way)).map((way) => ({
      way,
      href: withMethod(shown.self, way),
      current: way === shown.method,
    })),
  })
}

/** In what a drawn volume is counted: the usual units, and the group's own vessels. */
export async function unitOptions(desk: Pick<Desk, 'db' | 'today' | 't' | 'format'>): Promise<Option[]> {
  const { db, today, t } = desk
  return [
    ...UNITS.map((value) => ({ value, label: t(`abstractions.draw.unit.${value}`) })),
    ...vesselOptions(desk, await vesselsOn(db, today)),
  ]
}

/** What is measured comes before the button; the rest waits below it, laid open where something in it must be mended. */
function orderOf({ form, filled, method }: DrawPage) {
  const later = laterFields(form, method)
  const first = Object.keys(form.fields).filter((name) => !later.includes(name))
  return { first, later, openMore: 'reason' in form.fields || later.some((name) => name in filled.errors) }
}

/** The method named in an address or sent with a form; two meter readings unless another is known. */
export function methodOf(value: unknown): Way {
  return WAYS.find((method) => method === value) ?? 'meter'
}

function withMethod(self: string, method: Way): string {
  return `${self}${self.includes('?') ? '&' : '?'}method=${method}`
}
