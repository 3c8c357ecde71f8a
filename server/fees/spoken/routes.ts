import { randomBytes } from 'node:crypto'
import { isOnSharedDevice, provedAgain } from '../../people/again-state.ts'
import { canBeHeard, readOut, sendSpoken } from '../../people/voice/state.ts'
import { password } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { memberAccount } from '../ledger/account-store.ts'
import { onlyMoneyOf } from '../privacy.ts'
import { accountSaid, seasonSaid } from './said.ts'

const HearingForm = defineForm('voice.hearing', { code: password({ min: 1, autocomplete: 'off' }) })

/** The season and one's own account in short sentences; on a shared device the account is heard only after the code. */
export function addSpokenMoneyPages({ get, post }: Pages): void {
  const tickets = new Tickets()
  get('/money/report?as=aloud', 'closing.see', showSeason)
  get('/money/report.wav', 'closing.see', async (desk) => sendSpoken(desk, await seasonSaid(desk)))
  get('/money/members/:personId?as=aloud', 'money.see-own', (desk) => showAccount(desk, tickets, emptyForm()))
  get('/money/members/:personId.wav', 'money.see-own', (desk) => sendAccount(desk, tickets))
  post('/money/members/:personId?as=aloud', 'money.see-own', (desk) => openHearing(desk, tickets))
}

async function showSeason(desk: Desk) {
  const sentences = await seasonSaid(desk)
  return page(desk, 'people/voice/aloud', {
    title: 'voice.read-aloud',
    lines: readOut(desk, sentences),
    hear: (await canBeHeard(desk, sentences)) ? { src: '/money/report.wav', label: 'voice.listen-report' } : null,
    back: '/money/report',
  })
}

async function sayingsOf(desk: Desk<'personId'>) {
  const { personId } = desk.params
  onlyMoneyOf(desk, personId)
  return accountSaid(desk, { accountId: found(await memberAccount(desk.db, personId)), personId })
}

/** A sound is heard by whoever stands near: it is for the person alone, and on a shared device only after the code. */
async function mayHear(desk: Desk<'personId'>, tickets: Tickets): Promise<boolean> {
  const { personId } = desk.params
  if (personId !== desk.person.id) return false
  return !(await isOnSharedDevice(desk)) || tickets.fits(desk.query.ticket, personId, desk.at)
}

async function showAccount(desk: Desk<'personId'>, tickets: Tickets, filled: Filled) {
  const { personId } = desk.params
  const sentences = await sayingsOf(desk)
  const at = `/money/members/${personId}`
  const open = await mayHear(desk, tickets)
  const isThere = await canBeHeard(desk, sentences)
  const ticket = desk.query.ticket ? `?ticket=${encodeURIComponent(desk.query.ticket)}` : ''
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  return page(desk, 'fees/statement/aloud', {
    title: 'voice.read-aloud',
    lines: readOut(desk, sentences),
    hear: open && isThere ? { src: `${at}.wav${ticket}`, label: 'voice.listen-account' } : null,
    asksCode: isThere && !open && personId === desk.person.id,
    form: HearingForm,
    filled,
    action: `${at}?as=aloud`,
    submit: 'voice.listen',
    back: at,
  })
}

async function sendAccount(desk: Desk<'personId'>, tickets: Tickets) {
  const sentences = await sayingsOf(desk)
  if (!(await mayHear(desk, tickets))) throw new PageError(403, 'voice.code-first')
  return sendSpoken(desk, sentences)
}

async function openHearing(desk: Desk<'personId'>, tickets: Tickets) {
  const { personId } = desk.params
  if (personId !== desk.person.id) throw new PageError(403, 'error.page-403')
  const form = readForm(HearingForm, desk.body)
  if (!form.ok) return showAccount(desk, tickets, form)
  const result = await provedAgain(desk, form.data.code)
  if (result !== 'fits') return showAccount(desk, tickets, withError(form, 'code', `people.code.${result}`))
  const ticket = tickets.give(personId, desk.at)
  return desk.reply.redirect(`/money/members/${personId}?as=aloud&ticket=${ticket}`, 303)
}

const MINUTES_OPEN = 5
const MOST_OPEN = 200

/**
 * Who typed their code a moment ago to hear what is owed. It lives as long as the program, for some minutes: a player asks for a
 * sound several times.
 */
class Tickets {
  private readonly open = new Map<string, { personId: string; until: number }>()

  give(personId: string, at: Date): string {
    for (const [key, { until }] of this.open)
      if (until < at.getTime() || this.open.size >= MOST_OPEN) this.open.delete(key)
    const key = randomBytes(24).toString('base64url')
    this.open.set(key, { personId, until: at.getTime() + MINUTES_OPEN * 60_000 })
    return key
  }

  fits(key: string | undefined, personId: string, at: Date): boolean {
    const known = key === undefined ? undefined : this.open.get(key)
    return known !== undefined && known.personId === personId && known.until >= at.getTime()
  }
}
