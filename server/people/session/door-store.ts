import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import type { Desk } from '../../web/pages/desk.ts'

/** What happens at the door and is told to whom it is about and to the auditor. */
type DoorKind = 'signed-in' | 'wrong' | 'unknown' | 'code-wrong' | 'code-rests' | 'one-time-wrong' | 'refused'

const DAYS_KEPT = 90
/** Beyond it the oldest go, so that nobody fills the disk by knocking. Own choice, no source. */
const MOST_KEPT = 20_000

/** Notes a try: when, from where, whose name, and what came of it; nothing of what was typed. */
export async function tellTry(
  db: Database,
  { kind, personId, request }: { kind: DoorKind; personId: Id<'person'> | null; request: Desk['request'] },
): Promise<void> {
  const at = request.visit.clock.at
  await db.insertInto('doorTry').values({ at: at.toISOString(), kind, personId, address: request.ip }).execute()
  const oldest = new Date(at.getTime() - DAYS_KEPT * 86_400_000).toISOString()
  await db
    .deleteFrom('doorTry')
    .where(({ or, eb, selectFrom }) =>
      or([
        eb('at', '<', oldest),
        eb(
          'number',
          '<=',
          selectFrom('doorTry').select((inner) => eb(inner.fn.max('number'), '-', MOST_KEPT).as('last')),
        ),
      ]),
    )
    .execute()
}

/** The last tries, newest first: somebody's own, or everybody's that were not let in. */
export async function lastTries(db: Database, personId: Id<'person'> | null) {
  const rows = db
    .selectFrom('doorTry')
    .leftJoin('person', 'person.entryId', 'doorTry.personId')
    .select(['doorTry.at', 'doorTry.kind', 'doorTry.address', 'person.name'])
    .orderBy('doorTry.number', 'desc')
    .limit(personId === null ? 200 : 30)
  return personId === null
    ? rows.where('doorTry.kind', '<>', 'signed-in').execute()
    : rows.where('doorTry.personId', '=', personId).execute()
}

/** Passwords and codes that did not fit since a moment, and sign-ins, first to last; a name that nobody has is told by none. */
export async function triesSince(db: Database, since: Date) {
  const rows = await db
    .selectFrom('doorTry')
    .leftJoin('person', 'person.entryId', 'doorTry.personId')
    .select(['doorTry.at', 'doorTry.kind', 'doorTry.address', 'doorTry.number', 'person.signInName'])
    .where('doorTry.at', '>=', since.toISOString())
    .where('doorTry.kind', 'in', ['wrong', 'unknown', 'code-wrong', 'one-time-wrong', 'signed-in'])
    .orderBy('doorTry.number')
    .execute()
  return rows.map(({ at, kind, address, number, signInName }) => ({
    // Which name was typed is not kept where nobody has it: then each is one of its own.
    name: signInName?.toLowerCase() ?? `unknown ${number}`,
    address,
    at: new Date(at),
    fits: kind === 'signed-in',
  }))
}
