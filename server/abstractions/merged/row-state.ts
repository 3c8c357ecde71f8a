import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import type { FactTables } from '../../database/schema.ts'
import { turnInBook } from '../../rotation/published/turn-store.ts'
import { columnLabel, isFlag } from '../../web/figures/columns.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { subjectOf, subjectWords } from './subject-store.ts'

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
/** Columns that tell a person nothing: ids and digests of the chain, versions, what a machine reads or plays. */
const NOTHING_TOLD = /^(id|entryId|engineVersion|formatVersion|sound)$|Hash$/
/** Lists and objects as a machine keeps them, such as the rain of a year. */
const KEPT_FOR_THE_SUMS = /^[[{]/
/** Values that say by themselves what they are. */
const SAYS_ITSELF = new Set([...Object.keys(NUMBERED), 'slipNo'])
/** Answers of which no tells as much as yes. */
const YES_OR_NO = new Set(['stands', 'takenIn', 'together', 'isBack', 'isStruck'])
/** Numbers that are names, without a sign between thousands. */
const NAMING = /^(number|year)$|N(o|umber)$/

/** Sums, and the numbers of their vouchers: for whoever sees what works cost. */
const OF_COST = /Minor$|^voucher$/

interface ToldRow {
  table: keyof FactTables
  row: Row
  /** When it was written or happened, where the row has no day of its own. */
  on: string
}

/**
 * Any row in a line: what it is about, and its figures and words as they were written, each with what it is called, so that two of
 * them can be told apart. `subjects` has the entries under which such rows stand; asked for here where they are not handed over.
 */
export async function rowWords(desk: Desk, { table, row, on }: ToldRow, subjects?: ReadonlyMap<string, string>) {
  const { t, format, may } = desk
  const dayColumn = ['onDate', 'fromOn', 'weekStartOn', 'toOn'].find((name) => row[name] != null)
  const noun = t(`told.${table}`, { day: dayColumn ? format.date(String(row[dayColumn])) : format.instant(on) })
  if (OF_MONEY.has(table) && !may('closing.see')) return noun
  if (OF_HEARING.has(table) && !may('hearing.see-all')) return noun
  const values = await Promise.all(
    Object.entries(row)
      .filter(([name, value]) => value !== null && name !== dayColumn && !NOTHING_TOLD.test(name))
      .map(([name, value]) => labelled(desk, table, [name, value])),
  )
  const under = subjectOf(table, row)
  const subject = under && (subjects ?? (await subjectWords(desk, [under]))).get(under)
  const told = [...(subject ? [t('columns.about', { what: subject })] : []), ...values.filter(Boolean)]
  return told.length === 0 ? noun : `${noun}: ${told.join('; ')}`
}

async function labelled(desk: Desk, table: keyof FactTables, [name, value]: [string, unknown]): Promise<string> {
  const { t, locale, may } = desk
  if (OF_COST.test(name) && !may('works.cost-see')) return ''
  const what = columnLabel({ t, has: locale.has }, table, name)
  if (isFlag(name) && !YES_OR_NO.has(name)) return value === 1 ? what : ''
  const words = isFlag(name) ? t(value === 1 ? 'columns.yes' : 'columns.no') : await valueWords(desk, name, value)
  return words && !SAYS_ITSELF.has(name) ? t('columns.value', { what, value: words }) : words
}

/** A value in words; none where it tells nothing. */
async function valueWords(desk: Desk, name: string, value: unknown): Promise<string> {
  const { db, t, format, locale } = desk
  const text = String(value)
  if (/turnId$/i.test(name)) return turnWords(desk, text)
  const numbered = Object.entries(NUMBERED).find(([ending]) => name.toLowerCase().endsWith(ending.toLowerCase()))
  if (numbered) return numberedWords(desk, numbered[1], text)
  if (name === 'planId') return planWords(desk, text)
  if (name.endsWith('Id')) return personWords(db, text)
  if (name === 'cropKey') return cropWords(desk, text)
  if (name === 'cause' && locale.has(`told.cause.${text}`)) return t(`told.cause.${text}`)
  if (name.endsWith('On') || name.endsWith('Date')) return format.date(text)
  if (name.endsWith('At')) return format.instant(text)
  if (name.endsWith('Minor')) return moneyWords(desk).money(Number(value))
  if (name.endsWith('Minute')) return format.clock(Number(value))
  if (name === 'slipNo') return t('told.numbered.slip', { number: text })
  if (typeof value === 'number' && !NAMING.test(name)) return format.toLitre(value)
  return KEPT_FOR_THE_SUMS.test(text) ? '' : text
}

async function turnWords({ db, t, format }: Desk, id: string): Promise<string> {
  const turn = (await turnInBook(db, id))?.turn
  if (!turn) return ''
  const plot = turn.plot ? t('abstractions.plot-line', { number: turn.plot.number }) : ''
  return [`${format.date(turn.on)} ${format.clock(turn.startMinute)}`, plot].filter(Boolean).join(', ')
}

async function numberedWords({ db, t }: Desk, table: 'plot' | 'pump' | 'outlet' | 'weir' | 'tank', id: string) {
  const row = await db.selectFrom(table).select('number').where('entryId', '=', id).executeTakeFirst()
  return row ? t(`told.numbered.${table}`, { number: row.number }) : ''
}

/** A crop on its plot; two of one plot are told apart by their days. */
async function planWords(desk: Desk, id: string): Promise<string> {
  const plan = await desk.db
    .selectFrom('cropPlan')
    .innerJoin('plot', 'plot.entryId', 'cropPlan.plotId')
    .select(['plot.number', 'cropPlan.cropKey', 'cropPlan.sownOn'])
    .where('cropPlan.entryId', '=', id as Id<'plan'>)
    .executeTakeFirst()
  if (!plan) return ''
  const plot = desk.t('told.numbered.plot', { number: plan.number })
  return [plot, cropWords(desk, plan.cropKey), desk.format.date(plan.sownOn)].join(', ')
}

/** A printed crop by its name; one of the group's own by what it was called when it was written. */
function cropWords({ t, locale }: Desk, key: string): string {
  return locale.has(`crops.crop.${key}`) ? t(`crops.crop.${key}`) : key
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

async function personWords(db: Database, id: string): Promise<string> {
  const person = await db.selectFrom('person').select('name').where('entryId', '=', id).executeTakeFirst()
  return person?.name ?? ''
}
