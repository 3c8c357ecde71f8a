import { readSettings, type Settings } from '../settings.ts'
import { loadLocale, type Translate } from '../web/figures/locale.ts'
import { problemOf } from './file/problem.ts'

export interface Command {
  settings: Settings
  t: Translate
  words: string[]
  say(key: string, values?: Record<string, string | number>): void
  /** Says what is wrong and lets the command end as one that failed. */
  fail(key: string, values?: Record<string, string | number>): void
}

/** Runs one of the commands on the book; whatever stops it is told in a sentence. */
export async function runCommand(work: (command: Command) => Promise<void>): Promise<void> {
  let place = ''
  try {
    const settings = readSettings(process.env)
    place = settings.DATABASE
    const { t } = loadLocale(settings.BOOK_LANGUAGE)
    const say: Command['say'] = (key, values) => console.log(t(key, values))
    const fail: Command['fail'] = (key, values) => {
      console.error(t(key, values))
      process.exitCode = 1
    }
    await work({ settings, t, words: process.argv.slice(2), say, fail }).catch((error) => {
      const problem = problemOf(error, place)
      if (problem) fail(`file.problem.${problem.code}`, problem.values)
      else fail('file.problem.fault', { cause: (error as Error).message })
    })
  } catch (error) {
    console.error((error as Error).message)
    process.exitCode = 1
  }
}

/** What stands after an option, up to the next one; it may be given in groups. Null where the option is not there. */
export function optionOf(words: readonly string[], option: string): string | null {
  const at = words.indexOf(option)
  if (at < 0) return null
  const after = words.slice(at + 1)
  const end = after.findIndex((word) => word.startsWith('--'))
  return after.slice(0, end < 0 ? undefined : end).join('')
}
