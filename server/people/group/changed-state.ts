import type { GroupSettings } from '../../../domain/people/group.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { inputOfGroup } from './input.ts'

const DAYS = ['seasonStart', 'seasonEnd']

/** What another setting of the group changes, a sentence a field: what was there and what is there now. */
export function changedWords({ t, format }: Desk, before: GroupSettings, after: GroupSettings): string[] {
  const [was, is] = [inputOfGroup(before), inputOfGroup(after)]
  const shown = (field: string, value: string) => {
    if (field === 'firstWeekday') return t(`people.group.firstWeekday.${value}`)
    return DAYS.includes(field) ? format.date(value) : value.replaceAll('_', ' ')
  }
  return Object.keys(is)
    .filter((field) => was[field] !== is[field])
    .map((field) =>
      t('people.group.changed', {
        field: t(`people.group.${field}`),
        was: shown(field, was[field]!),
        is: shown(field, is[field]!),
      }),
    )
}
