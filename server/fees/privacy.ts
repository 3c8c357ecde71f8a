import type { FastifyRequest } from 'fastify'
import { may } from '../../domain/people/permissions.ts'
import { PageError } from '../web/pages/errors.ts'

/** What a person owes is seen by that person, the treasurer and the auditor; nobody else gets as far as a 404. */
export function onlyMoneyOf(request: FastifyRequest, personId: string | null | undefined): void {
  if (!seesAllMoney(request) && request.person?.id !== personId) throw new PageError(403, 'fees.page-403')
}

export function seesAllMoney(request: FastifyRequest): boolean {
  return may({ roles: request.person?.roles ?? [], permission: 'money.see-all' })
}
