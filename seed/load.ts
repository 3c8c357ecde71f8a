import type { Database } from '../server/database/connection.ts'
import { bookIsEmpty } from '../server/people/group/store.ts'
import { writeMinutes } from './decisions.ts'
import { chooseMarks } from './marks.ts'
import { openScene } from './scene.ts'
import { liveSeason } from './season.ts'
import { settle } from './settle.ts'
import { PERSONS, VALLEY } from './valley.ts'
import { recordVoice } from './voice/record.ts'

export { PASSWORD } from './valley.ts'

/** Sign-in names of the example with their roles, as the page and the terminal show them. */
export const SIGN_INS = PERSONS.flatMap(({ name, roles, signInName }) =>
  signInName ? [{ name, roles, signInName }] : [],
)

/** Loads the example valley into an empty book, whole or not at all; false when the book has already been started. */
export async function loadExample(db: Database, { today, passwordHash }: { today: string; passwordHash: string }) {
  return db.transaction().execute(async (trx) => {
    if (!(await bookIsEmpty(trx))) return false
    const scene = openScene(trx, today)
    await liveSeason(scene, await settle(scene, passwordHash))
    await chooseMarks(scene)
    await writeMinutes(scene)
    await recordVoice(scene)
    return true
  })
}

export const EXAMPLE_NAME = VALLEY.name
export const EXAMPLE_TIME_ZONE = VALLEY.timeZone
