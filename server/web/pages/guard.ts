import type { FastifyReply, FastifyRequest } from 'fastify'
import { may as mayDo, type Permission } from '../../../domain/people/permissions.ts'
import { PageError } from './errors.ts'

/** Lets a request through only with the permission; a visitor without a sign-in is shown the door to it. */
export function may(permission: Permission) {
  return async (request: FastifyRequest, reply: FastifyReply) => {
    if (!request.person) {
      // Whoever was signed out while writing keeps what was written: the page sends it again when it is loaded again.
      if (request.method !== 'GET') throw new PageError(401, 'error.page-401')
      return reply.redirect(`/session/new?next=${encodeURIComponent(request.url)}`, 303)
    }
    if (!mayDo({ roles: request.person.roles, permission })) throw new PageError(403, 'error.page-403')
  }
}
