import '@fastify/csrf-protection'
import '@fastify/view'
import type { FastifyReply, FastifyRequest } from 'fastify'
import { may, type Permission } from '../../domain/people/permissions.ts'
import { newId } from '../book/entries.ts'
import type { Format } from './format.ts'
import type { Locale, Values } from './locale.ts'
import { roomsFor } from './rooms.ts'

/** What every request knows of its visitor and of the book; filled by the hooks in `visit.ts`. */
export interface Visit {
  locale: Locale
  format: Format
  today: string
  group: { name: string; currency: string; timeZone: string } | null
}

export interface SignedIn {
  id: string
  name: string
  roles: readonly string[]
}

declare module 'fastify' {
  interface FastifyRequest {
    visit: Visit
    person: SignedIn | null
  }
}

/**
 * Renders one page. A view knows nothing but the object it is handed: its own data, the words (`t`), the figures (`f`),
 * and what the visitor may do (`can`). `title` is a key of the catalogue.
 */
export async function page(
  request: FastifyRequest,
  reply: FastifyReply,
  view: string,
  data: { title: string; titleValues?: Values } & Record<string, unknown>,
) {
  const { locale, format, today, group } = request.visit
  const roles = request.person?.roles ?? []
  const path = request.url.split('?')[0] ?? '/'
  return reply.viewAsync(view, {
    ...data,
    heading: locale.t(data.title, data.titleValues ?? {}),
    t: locale.t,
    has: locale.has,
    f: format,
    language: locale.language,
    today,
    group,
    person: request.person,
    can: (permission: Permission) => may({ roles, permission }),
    path,
    rooms: roomsFor(roles, path),
    formKey: newId(),
    csrf: reply.generateCsrf(),
  })
}
