import type { Id } from '../../domain/id.ts'
import type { Desk } from '../web/pages/desk.ts'
import { PageError } from '../web/pages/errors.ts'

/** What a person owes is seen by that person, the treasurer and the auditor; nobody else gets as far as a 404. */
export function onlyMoneyOf(desk: Desk, personId: Id<'person'> | null | undefined): void {
  if (!seesAllMoney(desk) && desk.person.id !== personId) throw new PageError(403, 'fees.page-403')
}

export function seesAllMoney(desk: Desk): boolean {
  return desk.may('money.see-all')
}
