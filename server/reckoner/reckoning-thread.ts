import { HEAVY, type HeavyName } from './heavy.ts'
import { answerOnThread } from './thread.ts'

/** A thread that does nothing but reckon, one thing after the other. */
answerOnThread((name, asked) => (HEAVY[name as HeavyName] as (asked: unknown) => unknown)(asked))
