import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import type { FactTables } from '../../database/schema.ts'
import { turnInBook } from '../../rotation/published/turn-store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'

type Row = Readonly<Record<string, unknown>>

/** Tables whose rows tell what somebody paid, owes or is charged: their figures are for those who may see the accounts. */
const OF_MONEY: ReadonlySet<keyof FactTables> = new Set([
  'account',
  'transfer',
  'missedHearing',
  'missedTurn',
  'receiptPaper',
  'cashCount',
  'countDecision',
  'moneyStatement',
  'transferCause',
  'voucher',
  'payerClass',
  'fixedFee',
  'fineDecision',
])

/** Tables whose rows tell what somebody was reproached with: their words are for those who hear such matters. */
const OF_HEARING: ReadonlySet<keyof FactTables> = new Set([
  'complaint',
  'complaintHearing',
  'warning',
  'warningAppeal',
  'warningRuling',
])

/** What a column that ends so stands for, of what has a number and a name. */
const NUMBERED = { plotId: 'plot', pumpId: 'pump', outletId: 'outlet', weirId: 'weir', tankId: 'tank' } as const
const LESS_OF_THE_ROW = new Set(['entryId', 'engineVersion', 'format', 'inputs', 'results', 'found'])

/** Any row in a line: what it is about, and its figures and words as they were written, so that two of them can be told apart. */
export async function rowWords(desk: Desk, { table, row, on }: { table: keyof FactTables; row: Row; on: string }) {
  const { t, format, may } = desk
  const day = ['onDate', 'fromOn', 'weekStartOn', 'toOn'].map((name) => row[name]).find((one) => one != null)
  const noun = t(`told.${table}`, { day: day === undefined ? format.instant(on) : format.date(String(day)) })
  if (OF_MONEY.has(table) && !may('closing.see')) return noun
  if (OF_HEARING.has(table) && !may('hearing.see-all')) return noun
  const told = await Promise.all(
    Object.entries(row)
      .filter(([name, value]) => value !== null && value !== day && !LESS_OF_THE_ROW.has(name))
      .map(([name, value]) => valueWords(desk, name, value)),
  )
  const values = told.filter((words) => words !== null && words !== '')
  return values.length === 0 ? noun : `${noun}: ${values.join(', ')}`
}

async function valueWords(desk: Desk, name: string, value: unknown): Promise<string | null> {
  const { db, t, format } = desk
  const text = String(value)
  if (/turnId$/i.test(name)) return turnWords(desk, text)
  const numbered = Object.entries(NUMBERED).find(([ending]) => name.toLowerCase().endsWith(ending.toLowerCase()))
  if (numbered) return numberedWords(desk, numbered[1], text)
  if (name.endsWith('Id')) return personWords(db, text)
  if (name === 'cause') return t(`told.cause.${text}`)
  if (name.endsWith('On') || name.endsWith('Date')) return format.date(text)
  if (name.endsWith('Minor')) return moneyWords(desk).money(Number(value))
  if (name.endsWith('Minute')) return format.clock(Number(value))
  if (name === 'slipNo') return t('told.numbered.slip', { number: text })
  if (typeof value !== 'number') return text
  return name.endsWith('M3') ? t('told.volume', { volume: format.toLitre(value) }) : format.toLitre(value)
}

async function turnWords({ db, t, format }: Desk, id: string): Promise<string> {
  const turn = (await turnInBook(db, id))?.turn
  if (!turn) return ''
  const plot = turn.plot ? t('abstractions.plot-line', { number: turn.plot.number }) : ''
  return [`${format.date(turn.on)} ${format.clock(turn.startMinute)}`, plot].filter(Boolean).join(', ')
}

async function numberedWords({ db, t }: Desk, table: 'plot' | 'pump' | 'outlet' | 'weir' | 'tank', id: string) {
  const row = await db.selectFrom(table).select('number').where('entryId', '=', id).executeTakeFirst()
  return row ? t(`told.numbered.${table}`, { number: row.number }) : null
}

/** Whose accounts money went between. */
export async function payersWords({ db }: Desk, { debitAccountId, creditAccountId }: Row): Promise<string[]> {
  const rows = await db
    .selectFrom('account')
    .innerJoin('person', 'person.entryId', 'account.personId')
    .select('person.name')
    .where('account.entryId', 'in', [debitAccountId, creditAccountId] as Id<'account'>[])
    .execute()
  return rows.map(({ name }) => name)
}

async function personWords(db: Database, id: string): Promise<string | null> {
  const person = await db.selectFrom('person').select('name').where('entryId', '=', id).executeTakeFirst()
  return person?.name ?? null
}
