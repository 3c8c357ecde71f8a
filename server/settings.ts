import { isIP } from 'node:net'
import { z } from 'zod'
import { isSpoken } from './web/words/catalogue.ts'

const Settings = z.object({
  HOST: z.string().min(1, 'HOST must be an address such as 127.0.0.1').default('127.0.0.1'),
  PORT: z.coerce
    .number('PORT must be a whole number from 1 to 65535')
    .int('PORT must be a whole number from 1 to 65535')
    .min(1, 'PORT must be a whole number from 1 to 65535')
    .max(65535, 'PORT must be a whole number from 1 to 65535')
    .default(3000),
  BOOK_LANGUAGE: z
    .string()
    .default('en')
    .refine(
      isSpoken,
      'BOOK_LANGUAGE must be a language tag such as en or en-u-nu-deva, with its words in views/locales',
    ),
  DATABASE: z.string().min(1, 'DATABASE must be the path of the SQLite file').default('commonweir.sqlite'),
  /** A folder of books, all served under their names; without it one book is served. */
  BOOKS: z.string().min(1, 'BOOKS must be a folder of books').optional(),
  /** Where the copies of each day go; beside the book unless told. */
  COPIES: z.string().min(1, 'COPIES must be a folder, or no for none').optional(),
  /** Whose word for a visitor's address is believed; without it everybody behind a proxy has the proxy's address. */
  TRUSTED_PROXY: z
    .string()
    .optional()
    .refine(
      (said) => said === undefined || said.split(',').every((one) => isIP(one.trim().split('/')[0]!) > 0),
      'TRUSTED_PROXY must be the address of the proxy, such as 127.0.0.1; of several, with commas between',
    ),
  /** `yes`, or the address that phones open; what comes through a proxy on this machine is then believed unless told otherwise. */
  BEHIND_TLS: z
    .string()
    .regex(/^(yes|no|https:\/\/[^/\s]+\/?)$/, 'BEHIND_TLS must be yes, no, or the address that phones open: https://…')
    .default('no')
    .transform((said) => (said === 'yes' || said === 'no' ? said === 'yes' : said.replace(/\/$/, ''))),
  /** Without a page for so long, whoever is signed in on a device of their own is signed out. */
  IDLE_HOURS: z.coerce
    .number('IDLE_HOURS must be a number of hours from 0.1 to 12')
    .min(0.1, 'IDLE_HOURS must be a number of hours from 0.1 to 12')
    .max(12, 'IDLE_HOURS must be a number of hours from 0.1 to 12')
    .default(4),
  /** Makes a new book beside others, where a name that is not there may as well be mistyped. */
  NEW_BOOK: z
    .enum(['yes', 'no'], 'NEW_BOOK must be yes or no')
    .default('no')
    .transform((said) => said === 'yes'),
})

/** A proxy with TLS stands on the same machine unless another address is told. */
const PROXY_BESIDE = '127.0.0.1,::1'

export type Settings = z.output<typeof Settings>

/** Reads the settings from the environment; throws one clear sentence for each that cannot be used. */
export function readSettings(environment: Record<string, string | undefined>): Settings {
  const read = Settings.safeParse(environment)
  if (read.success) {
    const { TRUSTED_PROXY, BEHIND_TLS } = read.data
    return { ...read.data, TRUSTED_PROXY: TRUSTED_PROXY ?? (BEHIND_TLS === false ? undefined : PROXY_BESIDE) }
  }
  throw new Error(read.error.issues.map((issue) => issue.message).join('\n'))
}

/** Why the address cannot be used, in a sentence for whoever runs the book; null where that is not it. */
export function startProblem(error: unknown, { HOST, PORT }: Settings): string | null {
  const code = String((error as { code?: unknown }).code ?? '')
  if (code === 'EADDRINUSE') return `PORT: ${PORT} is in use by another program. Choose another number.`
  if (code === 'EACCES' && (error as { syscall?: unknown }).syscall === 'listen')
    return `PORT: this account may not use ${PORT}. Choose a number above 1023.`
  if (code === 'EADDRNOTAVAIL' || code === 'ENOTFOUND') return `HOST: ${HOST} is not an address of this machine.`
  return null
}

/** Whether a book lies on a server of PostgreSQL, and in no file. */
export function isPostgresAddress(place: string): boolean {
  return /^postgres(ql)?:\/\//.test(place)
}

/** An address as it may be shown: without a password. */
export function shownAddress(place: string): string {
  return place.replace(/(:\/\/[^:/@]*):[^@/]*@/, '$1@')
}
