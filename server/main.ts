import { problemOf } from './database/file/problem.ts'
import { readSettings, type Settings, startProblem } from './settings.ts'
import { loadLocale } from './web/figures/locale.ts'

const settings = settingsOrExit()
try {
  // Read only now, so that a module made for another Node is told in a sentence.
  const { BOOKS } = settings
  if (BOOKS === undefined) await (await import('./start/one-book.ts')).startBook(settings)
  else await (await import('./start/folder.ts')).startFolder({ ...settings, BOOKS })
} catch (error) {
  const { t } = loadLocale(settings.BOOK_LANGUAGE)
  const problem = problemOf(error, settings.DATABASE)
  const words = startProblem(error, settings) ?? (problem && t(`file.problem.${problem.code}`, problem.values))
  if (words === null) throw error
  console.error(words)
  process.exit(1)
}

function settingsOrExit(): Settings {
  try {
    return readSettings(process.env)
  } catch (error) {
    console.error((error as Error).message)
    process.exit(1)
  }
}
