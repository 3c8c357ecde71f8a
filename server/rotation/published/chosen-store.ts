import type { CalendarDate } from '../../../domain/calendar.ts'
import { notTakenBack } from '../../book/after-joining.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { approvals } from '../../book/names/approvals.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'

/** Which of two publications of a week the group goes by; it holds with a second name. */
export async function chooseWeek(
  pen: Pen,
  { weekStartOn, publishedId }: { weekStartOn: CalendarDate; publishedId: string },
): Promise<string> {
  return appendEntry(pen, { kind: 'week-chosen' }, { weekChosen: [{ weekStartOn, publishedId }] })
}

/** The choices made for a week, the newest first. */
export async function choicesOf(db: Database, weekStartOn: CalendarDate) {
  const named = await approvals(db)
  const rows = await db
    .selectFrom('weekChosen')
    .innerJoin('entry', 'entry.id', 'weekChosen.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .select(['weekChosen.entryId as id', 'publishedId', 'person.entryId as writerId', 'person.name as writerName'])
    .where('weekStartOn', '=', weekStartOn)
    .where(standing('weekChosen'))
    .orderBy(asWritten, 'desc')
    .execute()
  return rows.map((row) => ({ ...row, secondName: named.get(row.id)?.approverName ?? null }))
}

/** Weeks that two devices published apart and of which none was chosen by two names. */
export async function weeksToChoose(db: Database): Promise<CalendarDate[]> {
  const rows = await db
    .selectFrom('publishedWeek')
    .select('weekStartOn')
    .where(notTakenBack('published_week'))
    .groupBy('weekStartOn')
    .having(({ fn }) => fn.countAll(), '>', 1)
    .execute()
  const open = []
  for (const { weekStartOn } of rows) {
    const choices = await choicesOf(db, weekStartOn)
    if (!choices.some(({ secondName }) => secondName)) open.push(weekStartOn)
  }
  return open
}
