import { expect, it } from 'vitest'
import { appendEntry } from '../../../server/book/entries.ts'
import { othersMarks } from '../../../server/people/plot/co-holder-state.ts'
import { writeWarning } from '../../../server/people/warning/store.ts'
import { moneyBook } from '../../fees/book.ts'

it('the first page tells somebody of the own words until the day before they lapse, and of nobody else’s', async () => {
  const book = await moneyBook()
  const word = (name: 'Bela' | 'Chidi', rule: string, lapseOn: string) => {
    const said = { fact: 'valve open', heardOn: '2026-06-01', hearing: 'forgot', body: 'committee' } as const
    const given = { personId: book.ids[name] as never, step: 'word', rule, ...said, lapseOn } as const
    const ground = { rule: null, named: 'word', reason: null, minute: null } as const
    return book.as('Ada', (pen) => writeWarning(pen, given, ground))
  }
  await word('Bela', 'rule of today', '2026-06-04')
  await word('Bela', 'rule of tomorrow', '2026-06-05')
  await word('Chidi', 'rule of Chidi', '2026-06-30')
  const told = (await (await book.signedIn('Bela')).open('/')).words.match(/A word was given to you: .{0,20}/g)
  expect(told).toEqual([expect.stringContaining('rule of tomorrow')])
})

it('how others agreed stands beside the entry to which they did', async () => {
  const { as, db, ids } = await moneyBook()
  const marked = (name: 'Bela' | 'Chidi', given: 'present' | 'message') =>
    as('Ada', (pen) =>
      appendEntry(pen, { kind: 'turn-outcome' }, { holderMark: [{ personId: ids[name] as never, given }] }),
    )
  const [first, second] = [await marked('Bela', 'present'), await marked('Chidi', 'message')]
  const t = ((key: string, { name }: { name: string }) => `${name} ${key.split('-').at(-1)}`) as never
  const said = await othersMarks({ db, t }, [second, first])
  expect(Object.fromEntries(said)).toEqual({ [first]: 'Bela present', [second]: 'Chidi message' })
})
