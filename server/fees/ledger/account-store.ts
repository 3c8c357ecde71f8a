import type { Id } from '../../../domain/id.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import { kept } from '../../book/kept-answers.ts'
import { readTogether } from '../../book/register/together.ts'
import type { Database } from '../../database/connection.ts'

/** The group's own accounts; a member's account is opened when the person is written in. */
const GROUP_ACCOUNTS = [
  'cash',
  'wallet',
  'bank',
  'reserve',
  'fee-income',
  'relief',
  'costs',
  'opening',
  'labour',
  'produce',
  'short-and-over',
] as const
type GroupAccount = (typeof GROUP_ACCOUNTS)[number]

/** Where the group keeps money, each a column of the cash book. */
export const MONEY_COLUMNS = ['cash', 'wallet', 'bank'] as const
export type MoneyColumn = (typeof MONEY_COLUMNS)[number]

/** The same with the reserve for the pump, which is kept apart: by a voucher or with two names only. */
export const HELD_COLUMNS = [...MONEY_COLUMNS, 'reserve'] as const
export type HeldColumn = (typeof HELD_COLUMNS)[number]

/** What is counted: the cash box, or the reserve for the pump, which is kept apart. */
export const COUNTED = ['cash', 'reserve'] as const
export type Counted = (typeof COUNTED)[number]

export interface Account {
  id: Id<'account'>
  code: string
  personId: Id<'person'> | null
}

export async function openGroupAccounts(pen: Pen): Promise<void> {
  for (const code of GROUP_ACCOUNTS) {
    await appendEntry(pen, { kind: 'account' }, { account: [{ code, personId: null }] })
  }
}

export async function openMemberAccount(pen: Pen, personId: Id<'person'>): Promise<string> {
  return appendEntry(pen, { kind: 'account' }, { account: [{ code: 'member', personId }] })
}

const accountRows = readTogether('money', (db) => accounts(db))

export function listAccounts(db: Database): Promise<readonly Account[]> {
  return kept(db, 'accounts', null, () => accountRows(db))
}

export async function groupAccount(db: Database, code: GroupAccount): Promise<string> {
  const account = (await listAccounts(db)).find((one) => one.code === code)
  if (!account) throw new Error(`The book has no account ${code}.`)
  return account.id
}

export async function memberAccount(db: Database, personId: Id<'person'>): Promise<string | undefined> {
  return (await listAccounts(db)).find((one) => one.personId === personId)?.id
}

function accounts(db: Database) {
  return db.selectFrom('account').select(['entryId as id', 'code', 'personId'])
}
