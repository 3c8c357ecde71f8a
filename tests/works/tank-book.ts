import { abstractionsBook } from '../abstractions/book.ts'

/** The book of the other tests with a tank of 4 m2, 2 m high, behind the pump. */
export async function bookWithTank() {
  const book = await abstractionsBook()
  await book.ada.fill('/works/tanks/new', {
    ...{ number: '1', name: 'Hill', pumpId: book.pumpId, area: '4', height: '2', fromOn: '2026-06-01' },
  })
  return book
}
