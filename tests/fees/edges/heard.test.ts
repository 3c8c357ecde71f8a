import { beforeAll, expect, it } from 'vitest'
import type { Visitor } from '../../support/visitor.ts'
import { type MoneyBook, moneyBook, told } from '../book.ts'

let book: MoneyBook
let tomo: Visitor
beforeAll(async () => {
  book = await moneyBook()
  tomo = await book.signedIn('Tomo')
})

it('an account on a shared device can be heard for five minutes after the password, and no longer', async () => {
  const shared = book.visitor()
  await shared.fill('/sign-in', { signInName: 'ada', password: 'a long enough word', shared: 'yes' })
  const at = `/money/members/${book.ids.Ada}`
  const keys = (await shared.open('/people/languages')).html.querySelector('[name=_csrf]')!.getAttribute('value')
  const code = { _csrf: keys, _form: 'own', code: 'a long enough word' }
  const typed = await shared.agent.post(`${at}?as=aloud`).type('form').send(code)
  const sound = typed.headers.location!.replace('?as=aloud&', '.wav?')
  expect(sound).toContain(`${at}.wav?ticket=`)
  const statuses = []
  for (const moment of ['08:05:00.000', '08:05:00.001']) {
    book.setNow(`2026-06-04T${moment}+03:00`)
    statuses.push((await shared.open(sound)).status)
  }
  // Nobody lent this book a voice: whoever may hear it is told so.
  expect(statuses).toEqual([404, 403])
})

it('whoever has a code hears it after the code alone, and a wrong one is told as a try at their door', async () => {
  const shared = book.visitor()
  await shared.fill('/sign-in', { signInName: 'ada', password: 'a long enough word', shared: 'yes' })
  await shared.fill('/people/settle/code', { oldPassword: 'a long enough word', code: '704213' })
  const keys = (await shared.open('/people/languages')).html.querySelector('[name=_csrf]')!.getAttribute('value')
  const typed = async (code: string) => {
    const before = (await book.db.selectFrom('doorTry').select('kind').execute()).length
    const sent = { _csrf: keys, _form: `typed ${code}`, code }
    const { status } = await shared.agent.post(`/money/members/${book.ids.Ada}?as=aloud`).type('form').send(sent)
    const tries = await book.db.selectFrom('doorTry').select(['kind', 'personId']).execute()
    return [status, ...tries.slice(before)]
  }
  expect(await typed('704214')).toEqual([422, { kind: 'code-wrong', personId: book.ids.Ada }])
  expect(await typed('a long enough word')).toEqual([422, { kind: 'code-wrong', personId: book.ids.Ada }])
  expect(await typed('704213')).toEqual([303])
})

it('the season read aloud says what was charged with the fines', async () => {
  await book.agreedTariff('2026-06-01', 5000)
  await book.deliver()
  await tomo.fill('/money/charges', {}, { action: '/money/charges' })
  const fine = {
    ...{ rule: 'rule 9', fact: 'valve 3 open', hearing: 'forgot it', heardOn: '2026-06-03', lapseOn: '2026-06-20' },
    ...{ amount: '300', reason: 'by the meeting', personId: book.ids.Bela },
  }
  const { path } = await tomo.fill('/money/fine', fine)
  await book.ada.fill(path, {}, { action: path })
  for (const name of ['Ada', 'Bela', 'Chidi', 'Ines', 'Dela'] as const)
    await tomo.fill('/money/pay', { payerId: book.ids[name], amount: '10', column: 'cash' })
  // By hand: 4 m³ at 50, and the fine of 300.
  expect(told(await tomo.open('/money/report?as=aloud'))).toContain('Charged for water about KES 500.00.')
})
