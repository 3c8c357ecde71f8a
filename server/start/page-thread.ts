import { reckonElsewhere } from '../reckoner/elsewhere.ts'
import { answerOnThread } from '../reckoner/thread.ts'
import { PAGES_THERE, type PagesThere } from './pages-there.ts'

/** A thread that makes the pages for which much is read; what is reckoned long for them has a thread of its own again. */
reckonElsewhere()
answerOnThread((name, asked) => (PAGES_THERE[name as keyof PagesThere] as (asked: unknown) => unknown)(asked))
