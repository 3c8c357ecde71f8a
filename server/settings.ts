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
