import { group } from 'd3-array'
import { sql } from 'kysely'
import { addDays } from '../../../domain/calendar.ts'
import { sum } from '../../../domain/sum.ts'
import { RULING_TABLES } from '../../book/after-joining.ts'
import { broughtSince, TOLD_DAYS } from '../../book/merge/reached.ts'
import { rulingsAmong } from '../../book/merge/rulings.ts'
import { readBook, type WholeEntry } from '../../book/merge/whole-entry.ts'
import { approvals } from '../../book/names/approvals.ts'
import { asWritten } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'

/** What another device brought and rules here, in a line each: a password, offices, a second name. */
export async function tellRulings(
  { t, format, locale }: Pick<Desk, 't' | 'format' | 'locale'>,
  db: Database,
  rulings: readonly WholeEntry[],
): Promise<string[]> {
  const persons = await db.selectFrom('person').select(['entryId', 'name']).execute()
  const names = new Map(persons.map(({ entryId, name }) => [entryId, name]))
  const subjects = await readBook(
    db,
    rulings.flatMap(({ facts }) => facts.map(([, row]) => String(row.subjectId))),
  )
  const told = (subject: WholeEntry) => {
    const table = tableOf(subject, (key) => locale.has(key))
    return table ? t(`told.${table}`, { day: format.instant(subject.entry.writtenAt) }) : subject.entry.kind
  }
  const kinds = new Map(subjects.map((subject) => [subject.entry.id, told(subject)]))
  return rulings.flatMap(({ entry, facts }) => {
    const ruling = facts.filter(([name]) => RULING_TABLES.includes(name))
    // Offices of one person are one line; everything else is a line each.
    const lines = group(ruling, ([table, row]) => [table, row.personId, row.subjectId].join(' '))
    return [...lines.values()].map((own) => {
      const [table, row] = own[0]!
      const values = {
        name: names.get(String(row.personId)) ?? '',
        roles: own.flatMap(([, one]) => (one.role ? [t(`people.roles.roles.${String(one.role)}`)] : [])).join(', '),
        kind: kinds.get(String(row.subjectId)) ?? '',
        writer: names.get(entry.writtenBy) ?? '',
        when: format.instant(entry.writtenAt),
      }
      return t(`works.ruling.${table}`, values)
    })
  })
}

/** The joinings under which no other person's name stands; one that brought nothing, or is of an older version, waits for none. */
export async function unnamedJoinings(db: Database) {
  const joinings = await db
    .selectFrom('bookJoined')
    .innerJoin('entry', 'entry.id', 'bookJoined.entryId')
    .innerJoin('person', 'person.entryId', 'entry.writtenBy')
    .orderBy(asWritten)
    .select(['bookJoined.entryId as id', 'person.entryId as writerId', 'person.name as writerName', 'writtenAt'])
    .where(({ exists, selectFrom }) =>
      exists(selectFrom('broughtRuling').select('broughtId').whereRef('entryId', '=', 'bookJoined.entryId')),
    )
    .execute()
  const named = await approvals(db)
  return joinings.filter(({ id }) => !named.has(id))
}

/** Each joining that waits for a name, with what it brought, and what of that rules only then. */
export async function waitingJoinings(desk: Pick<Desk, 't' | 'format' | 'db' | 'locale' | 'may' | 'request'>) {
  const { db } = desk
  const persons = await db.selectFrom('person').select(['entryId', 'name']).execute()
  const names = new Map(persons.map(({ entryId, name }) => [entryId, name]))
  const waiting = []
  for (const joining of await unnamedJoinings(db)) {
    const brought = await db.selectFrom('broughtRuling').select('broughtId').where('entryId', '=', joining.id).execute()
    const entries = await readBook(
      db,
      brought.map(({ broughtId }) => broughtId),
    )
    waiting.push({
      ...joining,
      writers: broughtByWriter(desk, (key) => desk.locale.has(key), entries, names),
      rulings: await tellRulings(desk, db, rulingsAmong(entries)),
    })
  }
  return waiting
}

/** What joinings of the last days brought in the visitor's name, joined by somebody else: a file can be written in anybody's name. */
export async function broughtInName(
  desk: Pick<Desk, 't' | 'format' | 'db' | 'locale' | 'may' | 'request' | 'person' | 'today'>,
) {
  const { db, person, today } = desk
  const rows = await db
    .selectFrom('broughtRuling')
    .innerJoin('entry as joining', 'joining.id', 'broughtRuling.entryId')
    .innerJoin('person as joiner', 'joiner.entryId', 'joining.writtenBy')
    .innerJoin('entry as mine', 'mine.id', 'broughtRuling.broughtId')
    .select(['mine.id', 'joining.id as joiningId', 'joiner.name as writerName', 'joining.writtenAt'])
    .where(sql<boolean>`mine.id in ${broughtSince(addDays(today, -TOLD_DAYS))}`)
    .where('mine.writtenBy', '=', person.id)
    .where('joining.writtenBy', '!=', person.id)
    .execute()
  const inName = []
  for (const own of group(rows, ({ joiningId }) => joiningId).values()) {
    const entries = await readBook(
      db,
      own.map(({ id }) => id),
    )
    const written = broughtByWriter(desk, (key) => desk.locale.has(key), entries, new Map())
    const lines = [...written.flatMap((one) => one.lines), ...(await tellRulings(desk, db, rulingsAmong(entries)))]
    inName.push({ ...own[0]!, lines })
  }
  return inName
}

/** What another book brings, by writer: of each kind how many entries, and between which days they were written. */
export function broughtByWriter(
  desk: Pick<Desk, 't' | 'format' | 'may' | 'request'>,
  has: (key: string) => boolean,
  brought: readonly WholeEntry[],
  names: ReadonlyMap<string, string>,
): { writer: string; lines: string[] }[] {
  const { t, format } = desk
  return [...group(brought, ({ entry }) => entry.writtenBy)].map(([writerId, entries]) => ({
    writer: names.get(writerId) ?? t('works.join-unknown-writer'),
    lines: [...group(entries, (whole) => moneyKind(whole) ?? tableOf(whole, has)).values()].map((same) => {
      const moments = same.map(({ entry }) => entry.writtenAt).sort()
      const [from, to] = [format.instant(moments[0]!), format.instant(moments.at(-1)!)]
      const day = from === to ? from : t('works.join-between', { from, to })
      const [kind, table] = [moneyKind(same[0]!), tableOf(same[0]!, has)]
      const what =
        table && !kind
          ? t(`told.${table}`, { day })
          : t('works.join-unknown-kind', { kind: kind ? t(kind) : same[0]!.entry.kind, day })
      return withSum(desk, t('works.join-line', { count: same.length, what }), same)
    }),
  }))
}

/** Beside entries of money how much it is in all, for whoever sees sums. */
function withSum(
  { t, may, request }: Pick<Desk, 't' | 'may' | 'request'>,
  line: string,
  entries: readonly WholeEntry[],
) {
  const amounts = entries.flatMap(({ facts }) =>
    facts.flatMap(([table, { amountMinor }]) =>
      table === 'transfer' && typeof amountMinor === 'number' ? [amountMinor] : [],
    ),
  )
  if (amounts.length === 0 || !may('closing.see')) return line
  return t('works.join-sum', { line, sum: moneyWords(request.visit).money(sum(amounts, (amount) => amount)) })
}

/** What a movement of money is, as cash book and accounts call it: a payment in and one out are no one line. */
function moneyKind({ facts }: WholeEntry): string | null {
  const [, row] = facts.find(([table]) => table === 'transfer') ?? []
  return row ? `fees.kind.${String(row.kind)}` : null
}

/** The table that an entry is told by: the first of its facts that has words. */
function tableOf({ facts }: WholeEntry, has: (key: string) => boolean): string | null {
  return facts.find(([table]) => has(`told.${table}`))?.[0] ?? null
}
