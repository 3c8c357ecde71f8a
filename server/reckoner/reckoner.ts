import { createHash } from 'node:crypto'
import { frozen } from '../book/kept-answers.ts'
import { PageError } from '../web/pages/errors.ts'
import { type AnswerOf, type AskedOf, HEAVY, type HeavyName } from './heavy.ts'

/** So many answers are kept: a draft is looked at from a dozen pages, by whoever looks. Own choice, no source. */
const MOST_KEPT = 24

type Reckon = (name: HeavyName, asked: unknown) => Promise<unknown>

const inPlace: Reckon = async (name, asked) => (HEAVY[name] as (asked: unknown) => unknown)(asked)

let reckon = inPlace

/** From now on everything heavy of this process is reckoned so; by nobody else (null), it is reckoned where it is asked. */
export function reckonBy(other: Reckon | null): void {
  reckon = other ?? inPlace
}

const answers = new Map<string, Promise<unknown>>()

/**
 * The answer of something heavy. The same question, to the last letter, has the same answer, so the last ones are kept under what
 * they were reckoned from; they are frozen, since many pages share them.
 */
export async function reckoned<Name extends HeavyName>(name: Name, asked: AskedOf<Name>): Promise<AnswerOf<Name>> {
  const key = createHash('sha256')
    .update(JSON.stringify([name, asked]))
    .digest('base64')
  const answer = answers.get(key) ?? reckon(name, asked).then(frozen)
  answers.delete(key)
  answers.set(key, answer)
  for (const oldest of answers.keys()) {
    if (answers.size <= MOST_KEPT) break
    answers.delete(oldest)
  }
  answer.catch(() => answers.delete(key))
  return soon(answer) as Promise<AnswerOf<Name>>
}

/** A person waits so long before the page says what is being reckoned. */
const PATIENCE_MS = 5000

/** Throws PageError 503 where it is still being reckoned elsewhere; it will be there when somebody looks again. */
async function soon<T>(answer: Promise<T>): Promise<T> {
  if (reckon === inPlace) return answer
  let timer: NodeJS.Timeout | undefined
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new PageError(503, 'error.still-reckoning')), PATIENCE_MS)
  })
  return Promise.race([answer, late]).finally(() => clearTimeout(timer))
}
