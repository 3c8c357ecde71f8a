import { reckonBy } from './reckoner.ts'
import { askStarter, Thread } from './thread.ts'

/** A thread that does nothing but reckon. */
export const reckoningThread = () => new Thread('./reckoning-thread', import.meta.url)

/** Everything heavy is reckoned on a thread of its own from now on, so that the one that answers serves everybody meanwhile. */
export function reckonElsewhere(thread: Thread): void {
  reckonBy((name, asked) => thread.ask(name, asked))
}

/** On a thread: the same, on the one with which whoever started this one has it reckoned, so that there is one and not two. */
export function reckonByStarter(): void {
  reckonBy(askStarter)
}
