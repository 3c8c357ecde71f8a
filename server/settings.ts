import { existsSync } from 'node:fs'
import { dirname } from 'node:path'
import { z } from 'zod'
import { isSpoken } from './web/figures/locale.ts'

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
})

export type Settings = z.output<typeof Settings>

/** Reads the settings from the environment; throws one clear sentence for each that cannot be used. */
export function readSettings(environment: Record<string, string | undefined>): Settings {
  const read = Settings.safeParse(environment)
  if (read.success) return read.data
  throw new Error(read.error.issues.map((issue) => issue.message).join('\n'))
}

/** Why a start failed, in a sentence for whoever runs the book; null for a fault of the program itself. */
export function startProblem(error: unknown, { HOST, PORT, DATABASE }: Settings): string | null {
  const code = String((error as { code?: unknown }).code ?? '')
  if (code === 'EADDRINUSE') return `PORT: ${PORT} is in use by another program. Choose another number.`
  if (code === 'EACCES') return `PORT: this account may not use ${PORT}. Choose a number above 1023.`
  if (code === 'EADDRNOTAVAIL' || code === 'ENOTFOUND') return `HOST: ${HOST} is not an address of this machine.`
  if (code === 'SQLITE_CANTOPEN' || !existsSync(dirname(DATABASE)))
    return `DATABASE: ${DATABASE} cannot be opened. It must be a file in a folder that exists and that this account may write in.`
  if (code === 'SQLITE_NOTADB') return `DATABASE: ${DATABASE} is not a book. Choose another file.`
  if (code.startsWith('SQLITE_CORRUPT'))
    return `DATABASE: ${DATABASE} is damaged. Keep it as it is and start with the latest copy.`
  if (/^SQLITE_(FULL|IOERR|READONLY)/.test(code))
    return `DATABASE: ${DATABASE} cannot be written. Check that the disk has room and that this account may write the file and its folder.`
  if (code.startsWith('SQLITE_BUSY')) return `DATABASE: ${DATABASE} is held by another program. End that one first.`
  return null
}
