import { appendEntry, type Pen } from '../database/entries.ts'

/** The group's own accounts; a member's account is opened when the person is written in. */
export const GROUP_ACCOUNTS = ['cash', 'wallet', 'bank', 'fee-income', 'relief', 'costs', 'opening'] as const

export async function openGroupAccounts(pen: Pen): Promise<void> {
  for (const code of GROUP_ACCOUNTS) {
    await appendEntry(pen, { kind: 'account' }, { account: [{ code, person_id: null }] })
  }
}

export async function openMemberAccount(pen: Pen, personId: string): Promise<string> {
  return appendEntry(pen, { kind: 'account' }, { account: [{ code: 'member', person_id: personId }] })
}
