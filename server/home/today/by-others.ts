import { type RawBuilder, sql } from 'kysely'
import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { broughtSince, TOLD_DAYS } from '../../book/merge/reached.ts'
import { rewordedSince } from '../../book/names/reworded-store.ts'
import { asWritten } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { ownWordsOf } from '../../web/pages/names.ts'
import { localDate } from '../../web/pages/visit.ts'

interface WrittenByOther {
  kind:
    | 'request'
    | 'outcome'
    | 'holders'
    | 'received'
    | 'consent'
    | 'taker'
    | 'drawn'
    | 'mended'
    | 'household'
    | 'receipt'
    | 'hours'
    | 'level'
    | 'from-before'
    | 'booking'
    | 'complaint'
    | 'complained'
    | 'brought'
    | 'sign-in'
  entryId: string
  plotId: Id<'plot'> | null
  plotNumber: number | null
  /** What a line's page is named by: the turn, or its day. */
  turnId: string | null
  turnOn: CalendarDate | null
  cause: string | null
  writtenAt: string
  byName: string
}

/**
 * What others wrote in the last days that takes from or gives to the visitor: asked, said of a turn, agreed, read, written over or charged
 * in the visitor's name. Each holds as it stands; here it is told in time, to whom it concerns.
 */
export async function writtenByOthers(desk: Desk) {
  const { db, person, today, t, format, group } = desk
  const since = addDays(today, -TOLD_DAYS)
  const rows = await writtenSince(db, person.id, since)
  const told = rows
    .filter(({ kind }) => (kind !== 'receipt' && kind !== 'from-before') || desk.may('money.see-own'))
    .map((row) => ({
      on: format.date(localDate(new Date(row.writtenAt), group.timeZone)),
      words: t(`today.by-others.${row.kind}`, {
        name: row.byName,
        plot: row.plotNumber ?? '',
        said: row.cause ? t(`today.by-others.cause.${row.cause}`) : '',
        day: row.turnOn ? format.weekday(row.turnOn) : '',
      }),
      href: hrefOf(row, person.id),
    }))
  return [...(await otherWords(desk, since)), ...told]
}

/** Whoever puts a sentence into other words can hide by it what others are to read: everybody who reads them is told so. */
async function otherWords(desk: Desk, since: string) {
  const { db, person, t, format, group } = desk
  const language = ownWordsOf(desk)
  return (await rewordedSince(db, { language, personId: person.id, since })).map(({ name, count, writtenAt }) => ({
    on: format.date(localDate(new Date(writtenAt), group.timeZone)),
    words: t('names.reworded-lately', { name, count }),
    href: `/people/languages/${language}`,
  }))
}

/** More entries than a large group writes within the days that are told. Own choice. */
const LAST_ENTRIES = 2000

/**
 * Levels in somebody's name, and water of somebody's plots or on somebody's account, that was written, put right or struck out lately, whatever day
 * it is dated: only the last entries are gone through, and not the log of years.
 */
function saidLately(personId: Id<'person'>, own: RawBuilder<unknown>, fromOn: CalendarDate): RawBuilder<unknown> {
  const lately = sql`seq in (select seq from entry where seq > (select max(seq) from entry) - ${LAST_ENTRIES}
    union select seq from entry where id in ${broughtSince(fromOn)})`
  return sql`
      select 'taker' as kind, entry_id, plot_id, null, on_date, null
        from entry join abstraction on abstraction.entry_id = entry.id
        where ${lately} and taker_id = ${personId} and plot_id is not null and plot_id not in ${own}
      union all select 'level', entry_id, null, null, on_date, null
        from entry join level_reading on level_reading.entry_id = entry.id
        where ${lately} and reader_id = ${personId}
      union all select 'drawn', entry_id, plot_id, null, on_date, null
        from entry join abstraction on abstraction.entry_id = entry.id
        where ${lately} and corrects_id is null and turn_id is null and use = 'irrigation' and plot_id in ${own}
      union all select 'mended', entry.id, coalesce(old.plot_id, anew.plot_id), null, old.on_date, null
        from entry join abstraction as old on old.entry_id = entry.corrects_id
        left join abstraction as anew on anew.entry_id = entry.id
        where ${lately} and (old.plot_id in ${own} or anew.plot_id in ${own})
          and (anew.entry_id is null or anew.volume_m3 <> old.volume_m3 or anew.on_date <> old.on_date
            or coalesce(anew.plot_id, '') <> coalesce(old.plot_id, '') or coalesce(anew.taker_id, '') <> coalesce(old.taker_id, ''))`
}

/** Each line's entry is looked up by its id: an inner join would go through all entries of the days. */
async function writtenSince(db: Database, personId: Id<'person'>, fromOn: CalendarDate): Promise<WrittenByOther[]> {
  const own = sql`(select plot_id from plot_holder where person_id = ${personId})`
  const household = sql`(select ${personId} union select person_id from plot_holder where plot_id in ${own})`
  const account = sql`(select entry_id from account where person_id = ${personId})`
  const { rows } = await sql<WrittenByOther>`
    select said.*, entry.written_at as "writtenAt", person.name as "byName", plot.number as "plotNumber"
    from (
      select 'request' as kind, entry_id as "entryId", plot_id as "plotId", null as "turnId", null as "turnOn", null as cause
        from water_request where plot_id in ${own}
      union all select 'request', entry_id, plot_id, null, null, null from standing_request where plot_id in ${own}
      union all select 'outcome', turn_outcome.entry_id, turn.plot_id, turn.id, turn.on_date, turn_outcome.cause
        from turn_outcome join turn on turn.id = turn_outcome.turn_id where turn.plot_id in ${own}
      union all select distinct 'holders', entry_id, plot_id, null, null, null from plot_holder where plot_id in ${own}
      union all select 'received', entry_id, plot_id, null, null, null from received_before where plot_id in ${own}
      union all select 'consent', entry_id, plot_id, null, null, null from swap_consent where person_id = ${personId}
      union all ${saidLately(personId, own, fromOn)}
      union all select 'household', entry_id, null, null, null, null from lives_together where person_id = ${personId}
      union all select 'receipt', undone.id, null, null, transfer.on_date, null
        from transfer join entry as undone on undone.corrects_id = transfer.entry_id
        where transfer.kind = 'receipt' and transfer.credit_account_id in ${account}
      union all select 'from-before', entry_id, null, null, on_date, null from transfer
        where kind = 'opening' and debit_account_id in ${account}
      union all select 'booking', booking.entry_id, booking.plot_id, null, turn.on_date, null
        from booking join turn on turn.id = booking.turn_id where booking.plot_id in ${own}
      union all select 'complaint', entry_id, null, null, null, null from complaint where by_id = ${personId}
      union all select 'complained', entry_id, null, null, null, null from complaint where about_id = ${personId}
      union all select distinct 'brought', brought_ruling.entry_id, null, null, null, null
        from entry as mine join brought_ruling on brought_ruling.brought_id = mine.id
        where mine.written_by = ${personId} and mine.id in ${broughtSince(fromOn)}
      union all select 'sign-in', entry_id, null, null, null, null from credential
        where person_id = ${personId} and entry_id in (select entry_id from name_needed)
      union all select 'hours', entry_id, null, null, null, null from no_turn_hours where person_id in ${household}
      union all select 'hours', entry_id, null, null, null, null from no_turn_custom where person_id in ${household}
    ) as said
    left join entry on entry.id = said."entryId"
    left join person on person.entry_id = entry.written_by
    left join plot on plot.entry_id = said."plotId"
    where coalesce(entry.written_by, ${personId}) <> ${personId}
      and (coalesce(entry.written_at, '') >= ${fromOn} or said."entryId" in ${broughtSince(fromOn)})
    order by ${asWritten} desc`.execute(db)
  return rows
}

function hrefOf({ kind, entryId, plotId, turnId, turnOn }: WrittenByOther, personId: Id<'person'>): string {
  if (kind === 'outcome') return `/log/days/${turnOn}?open=turn-${turnId}#turn-${turnId}`
  if (kind === 'request') return '/turns/asked'
  if (kind === 'consent') return '/turns/asked?as=swaps'
  if (kind === 'taker' || kind === 'drawn' || kind === 'mended') return `/log/days/${turnOn}`
  if (kind === 'sign-in') return `/people/${personId}`
  if (kind === 'brought') return '/log/check?as=joined'
  if (kind === 'household') return '/people/households'
  if (kind === 'hours') return '/works'
  if (kind === 'complaint' || kind === 'complained') return `/people/complaints/${entryId}`
  if (kind === 'level') return `/water/lines/level/${entryId}`
  return kind === 'receipt' || kind === 'from-before' ? `/money/members/${personId}` : `/turns/plots/${plotId}`
}
