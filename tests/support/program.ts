import { join } from 'node:path'
import { runFolder } from './load-valley.ts'

/** The command that starts an entry of the program in a process of its own, as npm does. */
export function programCommand(entry: string, ...words: string[]): [string, ...string[]] {
  return [process.execPath, 'server/run.js', entry, ...words]
}

/** What such a process is given: what Node made of the files is kept for the next one of the same run. */
export function programEnvironment(own: Record<string, string>): NodeJS.ProcessEnv {
  return { ...process.env, NODE_COMPILE_CACHE: join(runFolder(), 'compiled'), ...own }
}
