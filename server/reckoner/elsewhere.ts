import { reckonBy } from './reckoner.ts'
import { Thread } from './thread.ts'

/**
 * Everything heavy is reckoned on a thread of its own from now on, so that the one that answers serves everybody meanwhile;
 * gives what ends the thread and lets it be reckoned in place again.
 */
export function reckonElsewhere(): () => Promise<void> {
  const thread = new Thread('./reckoning-thread', import.meta.url)
  reckonBy((name, asked) => thread.ask(name, asked))
  return () => {
    reckonBy(null)
    return thread.end()
  }
}
