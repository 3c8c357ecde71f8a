import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

interface GroupCalendar {
  /** By the name that the runtime's formatter knows (CLDR); null where no other date stands beside ours. */
  calendar: string | null
  /** The group's own names, by the month of our calendar, 1 to 12. */
  months: Readonly<Record<number, string>>
}

const NONE: GroupCalendar = { calendar: null, months: {} }

export async function setGroupCalendar(pen: Pen, { calendar, months }: GroupCalendar): Promise<string> {
  const rows = Object.entries(months).map(([month, name]) => ({ month: Number(month), name }))
  return appendEntry(pen, { kind: 'group-calendar' }, { groupCalendar: [{ calendar }], monthName: rows })
}

const lastCalendar = readTogether('group', (db) =>
  db
    .selectFrom('groupCalendar')
    .innerJoin('entry', 'entry.id', 'groupCalendar.entryId')
    .select(['groupCalendar.entryId', 'calendar'])
    .where(standing('groupCalendar'))
    .orderBy(asWritten, 'desc'),
)

/** The last written one. */
export function groupCalendar(db: Database): Promise<GroupCalendar> {
  return kept(db, 'group calendar', null, async () => {
    const last = (await lastCalendar(db))[0]
    if (!last) return NONE
    const names = await db.selectFrom('monthName').selectAll().where('entryId', '=', last.entryId).execute()
    return { calendar: last.calendar, months: Object.fromEntries(names.map(({ month, name }) => [month, name])) }
  })
}
