import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { cookieName } from '../practising.ts'

declare module 'fastify' {
  interface FastifyInstance {
    /** Whether everything comes through a proxy that speaks TLS, as the setting says. */
    isBehindTls: boolean
    /** What stands before all addresses of the book: nothing, or such as `/kijito`. */
    prefixOfBook: string
  }
}

type Cookie = 'session' | 'device' | 'known' | 'language'

const NAMES: Record<Cookie, string> = {
  session: 'commonweir_session',
  device: 'commonweir_device',
  known: 'commonweir_known',
  language: 'commonweir_language',
}

/** The anti-forgery secret lies in a cookie too, under a name of its own. */
export function secretCookie(app: FastifyInstance): string {
  return nameIn(app, 'commonweir_secret')
}

/** A browser hands a cookie to the addresses of its own book only. */
export function cookiePath({ prefixOfBook }: FastifyInstance): string {
  return prefixOfBook === '' ? '/' : `${prefixOfBook}/`
}

/**
 * Behind TLS a browser takes a cookie of such a name only from this host and sends it only over TLS; the stricter one is for the
 * whole host (RFC 6265bis, 4.1.3).
 */
function nameIn({ isBehindTls, prefixOfBook }: FastifyInstance, name: string): string {
  if (!isBehindTls) return cookieName(name)
  return `${prefixOfBook === '' ? '__Host-' : '__Secure-'}${cookieName(name)}`
}

const nameOf = (app: FastifyInstance, cookie: Cookie) => nameIn(app, NAMES[cookie])

export function readCookie(request: FastifyRequest, cookie: Cookie): string | undefined {
  return request.cookies[nameOf(request.server, cookie)]
}

export function giveCookie(reply: FastifyReply, cookie: Cookie, value: string, days?: number): void {
  const { isBehindTls } = reply.server
  const maxAge = days === undefined ? undefined : days * 86_400
  reply.setCookie(nameOf(reply.server, cookie), value, {
    path: cookiePath(reply.server),
    httpOnly: true,
    sameSite: 'lax',
    secure: isBehindTls,
    maxAge,
  })
}

export function takeCookie(reply: FastifyReply, cookie: Cookie): void {
  reply.clearCookie(nameOf(reply.server, cookie), { path: cookiePath(reply.server), secure: reply.server.isBehindTls })
}

/** Whoever signs in gets another anti-forgery secret with the next page, so that one planted or seen before is worth nothing. */
export function forgetSecret(reply: FastifyReply): void {
  const app = reply.server
  reply.clearCookie(secretCookie(app), { path: cookiePath(app), secure: app.isBehindTls })
}
