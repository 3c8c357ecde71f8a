import { latinDigits } from '../../domain/digits.ts'
import { readCookie } from '../web/pages/cookies.ts'
import type { Desk } from '../web/pages/desk.ts'
import { isOwnPassword } from './session/at-the-door.ts'
import { personsWithCode, tryCode } from './session/code-store.ts'
import { tellTry } from './session/door-store.ts'
import { sessionsOf } from './session/store.ts'

/** Whether the visitor signed in on a phone that passes from hand to hand. */
export async function isOnSharedDevice({ db, person, request, at }: Desk): Promise<boolean> {
  const key = readCookie(request, 'session') ?? ''
  const own = await sessionsOf(db, { personId: person.id, key, at })
  return own.some(({ isThis, isShared }) => isThis && isShared)
}

/** Whether it is still the visitor who stands there: the code once more, or the password of whoever has none. */
export async function provedAgain(desk: Desk, typed: string): Promise<'fits' | 'wrong' | 'rests'> {
  const { db, person, request } = desk
  const hasCode = (await personsWithCode(db)).has(person.id)
  if (!hasCode) return (await isOwnPassword(desk, typed)) ? 'fits' : 'wrong'
  const result = await tryCode(db, person.id, latinDigits(typed))
  if (result !== 'fits') await tellTry(db, { kind: `code-${result}`, personId: person.id, request })
  return result
}
