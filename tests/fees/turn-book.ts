import { appendEntry } from '../../server/book/entries.ts'
import { approve } from '../../server/book/names/approvals.ts'
import { writeHearing } from '../../server/fees/missed-turn/store.ts'
import { addOutcome, type OutcomeCause } from '../../server/rotation/outcome/store.ts'
import { type MoneyBook, moneyBook } from './book.ts'

export interface TurnBook extends MoneyBook {
  /** A turn of 4 m3 for Bela's plot on the 2nd of June, unless said otherwise. */
  turn(id: string, change?: { plotId?: string; onDate?: string }): Promise<void>
  /** What the attendant says of a turn. */
  say(turnId: string, cause: OutcomeCause, words?: string): Promise<string>
  /** The hearing about a turn left without word, with Ada's name under it, open to appeal to the end of a day. */
  heard(turnId: string, appealUntil?: string): Promise<string>
  /** A turn that came by a swap, with the plot that both agreed on to pay. */
  swapped(turnId: string, plots: { toPlotId: string; payerPlotId: string }): Promise<void>
}

/** The money book with a pump, an outlet and turns on the list. */
export async function turnBook(): Promise<TurnBook> {
  const book = await moneyBook()
  const pumpId = await book.as('Ada', (pen) =>
    appendEntry(pen, { kind: 'pump' }, { pump: [{ number: 1, name: 'Lower' }] }),
  )
  const outletId = await book.as('Ada', (pen) =>
    appendEntry(pen, { kind: 'outlet' }, { outlet: [{ number: 1, name: 'Gate', pumpId }] }),
  )
  const rowOf = (id: string, plotId: string, onDate: string) => ({
    id,
    plotId,
    outletId,
    pumpId,
    onDate,
    startMinute: 540,
    endMinute: 660,
    volumeM3: 4,
  })
  return {
    ...book,
    turn: async (id, { plotId = book.plotOf.Bela, onDate = '2026-06-02' } = {}) => {
      await book.as('Ada', (pen) => appendEntry(pen, { kind: 'turn-amendment' }, { turn: [rowOf(id, plotId, onDate)] }))
    },
    say: (turnId, cause, words) =>
      book.as('Dela', (pen) => addOutcome(pen, { turnId, cause, standInId: null, words: words ?? null })),
    heard: async (turnId, appealUntil = '2026-06-03') => {
      const said = { turnId, heardOn: '2026-06-03', hearing: 'was away', appealUntil }
      const id = await book.as('Tomo', (pen) => writeHearing(pen, said))
      await book.as('Ada', (pen) => approve(pen, id))
      return id
    },
    swapped: async (turnId, { toPlotId, payerPlotId }) => {
      const given = rowOf(`${turnId}-given`, payerPlotId, '2026-06-02')
      await book.as('Ada', (pen) => appendEntry(pen, { kind: 'turn-amendment' }, { turn: [given] }))
      const gift = {
        weekStartOn: '2026-06-01',
        turnId: given.id,
        otherTurnId: null,
        toPlotId,
        payer: 'holder',
      }
      const swapId = await book.as('Ada', (pen) => appendEntry(pen, { kind: 'turn-swap' }, { turnSwap: [gift] }))
      const pays = { swapId, turnId, payerPlotId }
      const turn = rowOf(turnId, toPlotId, '2026-06-02')
      await book.as('Ada', (pen) => appendEntry(pen, { kind: 'turn-amendment' }, { turn: [turn], swappedTurn: [pays] }))
    },
  }
}
