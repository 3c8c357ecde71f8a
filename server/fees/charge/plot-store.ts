import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { asWritten } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { PlotCharge } from '../../rotation/asks.ts'

/** What was charged, or given back, for the water and the unused turns of a plot in some days, with whose account it touched. */
export async function chargesOfPlot(
  db: Database,
  { plotId, fromOn, toOn }: { plotId: Id<'plot'>; fromOn: CalendarDate; toOn: CalendarDate },
): Promise<PlotCharge[]> {
  const rows = await db
    .selectFrom('transfer')
    .innerJoin('entry', 'entry.id', 'transfer.entryId')
    .innerJoin('account as debit', 'debit.entryId', 'transfer.debitAccountId')
    .innerJoin('account as credit', 'credit.entryId', 'transfer.creditAccountId')
    .leftJoin('abstraction', 'abstraction.entryId', 'transfer.abstractionId')
    .leftJoin('missedTurn', 'missedTurn.entryId', 'transfer.entryId')
    .leftJoin('turn', 'turn.id', 'missedTurn.turnId')
    .where(({ or, eb, selectFrom }) =>
      or([
        eb('transfer.abstractionId', 'in', selectFrom('abstraction').select('entryId').where('plotId', '=', plotId)),
        eb('transfer.entryId', 'in', missedOf(db, plotId)),
      ]),
    )
    .select(['transfer.entryId as id', 'amountMinor', 'entry.writtenAt', 'entry.correctsId'])
    .select(['abstraction.onDate as drawnOn', 'turn.onDate as turnOn'])
    .select(['debit.personId as chargedId', 'credit.personId as creditedId'])
    .orderBy(asWritten)
    .execute()
  return rows.flatMap(({ chargedId, creditedId, drawnOn, turnOn, ...row }) => {
    const onDate = (drawnOn ?? turnOn)!
    const personId = chargedId ?? creditedId
    if (personId === null || onDate < fromOn || onDate > toOn) return []
    return { ...row, onDate, personId, amountMinor: chargedId ? row.amountMinor : -row.amountMinor }
  })
}

function missedOf(db: Database, plotId: Id<'plot'>) {
  return db
    .selectFrom('missedTurn')
    .innerJoin('turn', 'turn.id', 'missedTurn.turnId')
    .select('missedTurn.entryId')
    .where('turn.plotId', '=', plotId)
}
