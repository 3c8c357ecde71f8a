import { expect, it } from 'vitest'
import { startedBook } from '../../support/book.ts'

const fields = (count: number) => Object.fromEntries(Array.from({ length: count }, (_, at) => [`line ${at}`, 'x']))

it('a form is looked at up to its most fields and its longest name, those of strangers and of the people of the book', async () => {
  const { ada, visitor } = await startedBook()
  const seen = async (who: typeof ada, to: string, sent: object) =>
    (await who.agent.post(to).type('form').send(sent)).status === 413 ? 'too many' : 'looked at'
  expect([
    await seen(visitor(), '/sign-in', fields(50)),
    await seen(visitor(), '/sign-in', fields(51)),
    await seen(ada, '/people/new', fields(2000)),
    await seen(ada, '/people/new', fields(2001)),
    await seen(ada, '/people/new', { ['n'.repeat(100)]: 'x' }),
    await seen(ada, '/people/new', { ['n'.repeat(101)]: 'x' }),
  ]).toEqual(['looked at', 'too many', 'looked at', 'too many', 'looked at', 'too many'])
})
