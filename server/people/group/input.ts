import { IANAZone } from 'luxon'
import type { z } from 'zod'
import type { GroupSettings } from '../../../domain/people/group.ts'
import { type Filled, type ReadForm, type Typed, withError } from '../../web/forms/forms.ts'
import type { Option } from '../../web/pages/form-page.ts'
import type { GroupForm } from './forms.ts'

type GroupFields = { [N in keyof typeof GroupForm.fields]: z.output<(typeof GroupForm.fields)[N]['schema']> }

/** What the fields of a group cannot say one by one: a known zone and currency, a season that ends after it starts. */
export function groupProblem(data: GroupFields, form: Filled): ReadForm<never> | null {
  if (!IANAZone.isValidZone(data.timeZone)) return withError(form, 'timeZone', 'people.group.time-zone-unknown')
  if (!Intl.supportedValuesOf('currency').includes(data.currency.toUpperCase())) {
    return withError(form, 'currency', 'people.group.currency-unknown')
  }
  if (data.seasonEnd <= data.seasonStart) return withError(form, 'seasonEnd', 'people.group.season-backwards')
  return null
}

/** The time zones and currencies of the world as the program knows them, and whichever the book has already. */
export function groupChoices(language: string, chosen: Typed): Record<'timeZone' | 'currency', Option[]> {
  const named = new Intl.DisplayNames([language], { type: 'currency' })
  const withOwn = (known: string[], own: Typed[string] | undefined) =>
    own && !known.includes(String(own)) ? [...known, String(own)].sort() : known
  const currencies = Intl.supportedValuesOf('currency')
  return {
    timeZone: withOwn(Intl.supportedValuesOf('timeZone'), chosen.timeZone).map((zone) => ({
      value: zone,
      label: zone.replaceAll('_', ' '),
    })),
    // What was typed and is no currency has no name: it comes back as it was.
    currency: withOwn(currencies, chosen.currency).map((code) => ({
      value: code,
      label: currencies.includes(code) ? `${code} ${named.of(code) ?? ''}`.trim() : code,
    })),
  }
}

export function groupOfInput(data: GroupFields): GroupSettings {
  return {
    name: data.name,
    latitudeDeg: data.latitude,
    longitudeDeg: data.longitude,
    elevationM: data.elevation,
    timeZone: data.timeZone,
    currency: data.currency.toUpperCase(),
    firstWeekday: Number(data.firstWeekday) as GroupSettings['firstWeekday'],
    seasonStartOn: data.seasonStart,
    seasonEndOn: data.seasonEnd,
  }
}

export function inputOfGroup(group: GroupSettings): Record<string, string> {
  return {
    name: group.name,
    latitude: String(group.latitudeDeg),
    longitude: String(group.longitudeDeg),
    elevation: String(group.elevationM),
    timeZone: group.timeZone,
    currency: group.currency,
    firstWeekday: String(group.firstWeekday),
    seasonStart: group.seasonStartOn,
    seasonEnd: group.seasonEndOn,
  }
}
