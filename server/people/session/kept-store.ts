import type { Id } from '../../../domain/id.ts'
import { newId } from '../../book/entries.ts'
import type { Database } from '../../database/connection.ts'
import type { Desk } from '../../web/pages/desk.ts'

/** A long page of paper, and no more forms than somebody has open. Own choice, no source. */
const MOST_BYTES = 100_000
const MOST_OF_ONE = 5
const DAYS_KEPT = 3

type Fields = [name: string, value: string][]

interface KeptAside {
  id: string
  path: string
  at: string
  fields: Fields
}

/**
 * Keeps what came with a form whose sender's sign-in had run out, for that person alone; secrets and files are left out. False where
 * nobody knows whose it was, or it is more than is kept.
 */
export async function keepAside(db: Database, request: Desk['request']): Promise<boolean> {
  const { lapsedId: personId, url: path } = request
  const fields = JSON.stringify(fieldsOf(request.body))
  if (!personId || fields === '[]' || fields.length > MOST_BYTES) return false
  const at = request.visit.clock.at
  await db.insertInto('keptAside').values({ id: newId(), personId, path, fields, at: at.toISOString() }).execute()
  await db
    .deleteFrom('keptAside')
    .where('at', '<', new Date(at.getTime() - DAYS_KEPT * 86_400_000).toISOString())
    .execute()
  const own = await db
    .selectFrom('keptAside')
    .select('id')
    .where('personId', '=', personId)
    .orderBy('at', 'desc')
    .orderBy('id')
    .execute()
  const older = own.slice(MOST_OF_ONE).map(({ id }) => id)
  await db.deleteFrom('keptAside').where('id', 'in', older).execute()
  return true
}

function fieldsOf(body: unknown): Fields {
  if (typeof body !== 'object' || body === null) return []
  return Object.entries(body)
    .filter(([name, value]) => name !== '_csrf' && !/password|code/i.test(name) && !Buffer.isBuffer(value))
    .flatMap(([name, value]) => [value].flat().map((one): [string, string] => [name, String(one)]))
}

/** What is kept of somebody and was not sent since, last first. */
export async function keptOf(db: Database, personId: Id<'person'>): Promise<KeptAside[]> {
  const rows = await db
    .selectFrom('keptAside')
    .select(['id', 'path', 'at', 'fields'])
    .where('personId', '=', personId)
    .orderBy('at', 'desc')
    .execute()
  const kept = rows.map((row) => ({ ...row, fields: JSON.parse(row.fields) as Fields }))
  const sent = new Set<string>()
  for (const { id, fields } of kept) {
    const key = fields.find(([name]) => name === '_form')?.[1]
    const entry = key && (await db.selectFrom('entry').select('id').where('formKey', '=', key).executeTakeFirst())
    if (entry) sent.add(id)
  }
  return kept.filter(({ id }) => !sent.has(id))
}

export async function dropKept(db: Database, { id, personId }: { id: string; personId: Id<'person'> }): Promise<void> {
  await db.deleteFrom('keptAside').where('id', '=', id).where('personId', '=', personId).execute()
}
