import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { cookieName } from '../practising.ts'

declare module 'fastify' {
  interface FastifyInstance {
    /** Whether everything comes through a proxy that speaks TLS, as the setting says. */
    isBehindTls: boolean
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
export function secretCookie(isBehindTls: boolean): string {
  return prefixed('commonweir_secret', isBehindTls)
}

/** Behind TLS a browser takes a cookie of this name only from this host and sends it only over TLS (RFC 6265bis, 4.1.3). */
function prefixed(name: string, isBehindTls: boolean): string {
  return isBehindTls ? `__Host-${cookieName(name)}` : cookieName(name)
}

const nameOf = ({ isBehindTls }: FastifyInstance, cookie: Cookie) => prefixed(NAMES[cookie], isBehindTls)

export function readCookie(request: FastifyRequest, cookie: Cookie): string | undefined {
  return request.cookies[nameOf(request.server, cookie)]
}

export function giveCookie(reply: FastifyReply, cookie: Cookie, value: string, days?: number): void {
  const { isBehindTls } = reply.server
  const maxAge = days === undefined ? undefined : days * 86_400
  reply.setCookie(nameOf(reply.server, cookie), value, {
    path: '/',
    httpOnly: true,
    sameSite: 'lax',
    secure: isBehindTls,
    maxAge,
  })
}

export function takeCookie(reply: FastifyReply, cookie: Cookie): void {
  reply.clearCookie(nameOf(reply.server, cookie), { path: '/', secure: reply.server.isBehindTls })
}

/** Whoever signs in gets another anti-forgery secret with the next page, so that one planted or seen before is worth nothing. */
export function forgetSecret(reply: FastifyReply): void {
  const { isBehindTls } = reply.server
  reply.clearCookie(secretCookie(isBehindTls), { path: '/', secure: isBehindTls })
}
