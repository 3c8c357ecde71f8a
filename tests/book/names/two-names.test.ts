import { beforeAll, describe, expect, it } from 'vitest'
import { appendEntry, type Facts, type Pen } from '../../../server/book/entries.ts'
import { actOf, TWO_NAME_ACTS, type TwoNameKind } from '../../../server/book/names/acts.ts'
import { approve } from '../../../server/book/names/approvals.ts'
import { withhold } from '../../../server/book/names/withheld-store.ts'
import { recordCount } from '../../../server/fees/cash/count-store.ts'
import { type MoneyBook, moneyBook, TODAY } from '../../fees/book.ts'

let book: MoneyBook
let countId: string
let outletId: string
let pumpId: string
beforeAll(async () => {
  book = await moneyBook()
  const count = { countedOn: TODAY, countedMinor: 0, secondId: book.ids.Bela }
  pumpId = await book.as('Ada', (pen) => appendEntry(pen, { kind: 'pump' }, { pump: [{ number: 1, name: 'One' }] }))
  const outlet = { number: 1, name: 'First', pumpId }
  outletId = await book.as('Ada', (pen) => appendEntry(pen, { kind: 'outlet' }, { outlet: [outlet] }))
  countId = await book.as('Tomo', (pen) => recordCount(pen, count))
})

/** What hangs on an act about Bela, written by Tomo; the one who is asked, where one is, is Ada. */
async function factsOf(kind: TwoNameKind): Promise<Facts> {
  if (kind === 'swap-consent') return consentOfChidi()
  if (kind === 'missed-turn-heard') return hearingOfBela()
  if (kind === 'late-excuse' || kind === 'turn-outcome') return excuseOfBela()
  if (kind === 'crop-end' || kind === 'plan-class' || kind === 'plan-cover') return aboutCropOfBela(kind)
  if (kind === 'abstraction') return drawOfBela()
  const { ids, plotOf } = book
  const cropOfBela = { plotId: plotOf.Bela, cropKey: 'onion', areaM2: 100, sownOn: TODAY }
  const change = {
    weekStartOn: TODAY,
    kind: 'drop',
    turnId: null,
    plotId: plotOf.Bela,
    outletId,
    wasOn: TODAY,
    onDate: null,
    startMinute: null,
    volumeM3: null,
  }
  const part = { plotId: plotOf.Bela, fromOn: TODAY }
  const facts: Partial<Record<TwoNameKind, Facts>> = {
    'relief-asked': {
      relief: [{ personId: ids.Bela, amountMinor: 5, minute: '1', words: 'hail', askedId: ids.Ada }],
    },
    'cash-count': { cashCount: [{ countedOn: TODAY, countedMinor: 5, secondId: ids.Ada }] },
    'fine-heard': {
      fine: [
        {
          personId: ids.Bela,
          amountMinor: 5,
          rule: 'gate',
          fact: 'open',
          heardOn: TODAY,
          hearing: 'sorry',
          lapseOn: '2026-07-01',
        },
      ],
    },
    voucher: {
      voucher: [
        {
          number: nextNumber++,
          payee: 'bela',
          purpose: 'days at the pump',
          category: 'stipend',
          amountMinor: 5,
          invoice: null,
          moneyColumn: 'cash',
          stipendPersonId: null,
          stipendFromOn: null,
          stipendToOn: null,
          stipendDays: null,
        },
      ],
    },
    'count-write-off': {
      countDecision: [{ countId, way: 'written-off', minute: '4', words: 'lost', amountMinor: -5 }],
    },
    decision: {
      decision: [
        {
          number: '1',
          metOn: TODAY,
          body: 'meeting',
          words: 'as before',
          officersWords: null,
          present: null,
          votesFor: null,
          votesAgainst: null,
          abstained: null,
        },
      ],
    },
    handover: {
      handover: [
        {
          what: 'keys',
          handedOn: TODAY,
          giverId: ids.Tomo,
          takerId: ids.Ada,
          keys: '2',
          cashMinor: null,
          cashBookMinor: null,
          meters: null,
          openMatters: null,
          otherGiven: null,
        },
      ],
    },
    'arrears-to-owner': {
      arrearsMove: [{ tenantId: ids.Bela, ownerId: ids.Chidi, amountMinor: 5, words: 'the rule' }],
    },
    'warning-heard': {
      warning: [
        {
          personId: ids.Bela,
          step: 'warning',
          rule: 'gate',
          fact: 'open',
          heardOn: TODAY,
          hearing: 'sorry',
          body: 'committee',
          lapseOn: '2026-07-01',
        },
      ],
    },
    'lives-together': { livesTogether: [{ personId: ids.Bela, fromOn: TODAY }] },
    'turn-change': { turnChange: [{ ...change, stage: 'draft' }] },
    'plot-detail': { plotDetail: [{ ...part, areaM2: 900, soil: 'sandy-loam', method: 'furrow', shares: 1 }] },
    holders: { plotHolder: [{ ...part, personId: ids.Bela }] },
    'plot-household': { plotHousehold: [{ ...part, persons: 9 }] },
    'received-before': { receivedBefore: [{ plotId: plotOf.Bela, untilOn: TODAY, volumeM3: 0 }] },
    'plot-mulch': { plotMulch: [{ ...part, kind: 'straw', coverFraction: 0.5 }] },
    'plot-state': { plotState: [{ ...part, state: 'clogged' }] },
    'crop-plan': { cropPlan: [cropOfBela] },
    'water-request': { waterRequest: [{ plotId: plotOf.Bela, weekStartOn: '2026-06-08', volumeM3: 1 }] },
    'standing-request': {
      standingRequest: [{ plotId: plotOf.Bela, fromOn: '2026-06-08', untilOn: null, volumeM3: 1 }],
    },
    'turn-amendment': { turnChange: [{ ...change, stage: 'published' }] },
  }
  return facts[kind] ?? {}
}
let nextNumber = 1

/** Bela was heard about a turn. */
async function hearingOfBela(): Promise<Facts> {
  const turnId = await writeTurn(book.plotOf.Bela)
  return { missedHearing: [{ turnId, heardOn: TODAY, hearing: 'was away', appealUntil: TODAY }] }
}

/** A turn of Bela is excused after its hour. */
async function excuseOfBela(): Promise<Facts> {
  const turnId = await writeTurn(book.plotOf.Bela)
  return { turnOutcome: [{ turnId, cause: 'excused', standInId: null, words: null }] }
}

/** What was drawn for Bela's plot. */
async function drawOfBela(): Promise<Facts> {
  const weir = { number: nextNumber, name: `Weir ${nextNumber++}`, distanceM: 100 }
  const weirId = await book.as('Ada', (pen) => appendEntry(pen, { kind: 'weir' }, { weir: [weir] }))
  const nothing = { pumpId: null, outletId: null, turnId: null, takerId: null, openingM3: null, closingM3: null }
  const unread = { hours: null, flowM3PerH: null, startTime: null, endTime: null, remark: null }
  const drawn = { plotId: book.plotOf.Bela, weirId, onDate: TODAY, use: 'irrigation', method: 'volume' }
  return { abstraction: [{ ...nothing, ...unread, ...drawn, volumeM3: 1, uncertaintyM3: 0.1, grade: 'estimated' }] }
}

/** Something is written about a crop of Bela. */
async function aboutCropOfBela(kind: 'crop-end' | 'plan-class' | 'plan-cover'): Promise<Facts> {
  const row = { plotId: book.plotOf.Bela, cropKey: 'onion', areaM2: 100, sownOn: TODAY }
  const planId = await book.as('Ada', (pen) => appendEntry(pen, { kind: 'crop-plan' }, { cropPlan: [row] }))
  if (kind === 'plan-cover') return { planCover: [{ planId, onDate: TODAY, coverFraction: 0.4, heightM: 1 }] }
  return kind === 'crop-end'
    ? { cropEnd: [{ planId, endedOn: TODAY, outcome: 'lost' }] }
    : { planClass: [{ planId, fromOn: TODAY, class: null }] }
}

async function writeTurn(plotId: string): Promise<string> {
  const id = `turn ${nextNumber++}`
  const turn = { id, plotId, outletId, pumpId, onDate: TODAY, startMinute: 540, endMinute: 600, volumeM3: 1 }
  await book.as('Ada', (pen) => appendEntry(pen, { kind: 'published-week' }, { turn: [turn] }))
  return id
}

/** Tomo writes that Chidi agrees to give a turn to Bela. */
async function consentOfChidi(): Promise<Facts> {
  const { ids, plotOf } = book
  const id = await writeTurn(plotOf.Chidi)
  const swap = { weekStartOn: '2026-06-01', turnId: id, otherTurnId: null, toPlotId: plotOf.Bela, payer: 'holder' }
  const swapId = await book.as('Bela', (pen) => appendEntry(pen, { kind: 'turn-swap' }, { turnSwap: [swap] }))
  return { swapConsent: [{ swapId, plotId: plotOf.Chidi, personId: ids.Chidi, given: 'present' }] }
}

const CONCERNED: TwoNameKind[] = [
  'office-given',
  'sign-in-given',
  'person-left',
  'lives-together',
  'relief-asked',
  'arrears-to-owner',
  'warning-heard',
  'fine-heard',
  'voucher',
  'count-write-off',
  'plot-detail',
  'holders',
  'plot-household',
  'received-before',
  'crop-plan',
  'crop-end',
  'plan-class',
  'plan-cover',
  'plot-mulch',
  'plot-state',
  'water-request',
  'standing-request',
  'abstraction',
  'turn-outcome',
  'turn-change',
  'turn-amendment',
  'swap-consent',
  'missed-turn-heard',
  'late-excuse',
]
const ABOUT_BELA: TwoNameKind[] = ['office-given', 'sign-in-given', 'person-left']
const OTHERS = ['Ada', 'Ines', 'Dela'] as const

const writtenBy = async (name: 'Tomo', kind: TwoNameKind) => {
  const facts = await factsOf(kind)
  const forPersonId = ABOUT_BELA.includes(kind) ? book.ids.Bela : null
  return book.as(name, (pen) => appendEntry(pen, { kind, forPersonId }, facts))
}
const named = (name: Parameters<MoneyBook['as']>[0], id: string) => book.as(name, (pen: Pen) => approve(pen, id))

describe.each(Object.keys(TWO_NAME_ACTS) as TwoNameKind[])('%s', (kind) => {
  it('takes no name of its writer, of whoever gains by it, of one person twice, nor more than it needs', async () => {
    const id = await writtenBy('Tomo', kind)
    const { names, asked } = actOf(kind)
    await expect(named('Tomo', id)).rejects.toThrow('approval-by-the-writer')
    if (CONCERNED.includes(kind)) await expect(named('Bela', id)).rejects.toThrow('approval-by-one-concerned')
    if (asked) await expect(named('Ines', id)).rejects.toThrow('approval-not-asked')
    await named('Ada', id)
    await expect(named('Ada', id)).rejects.toThrow(names === 2 ? 'approval-own-already' : 'approval-twice')
    if (names === 2) {
      await named('Ines', id)
    }
    await expect(named(asked ? 'Ada' : 'Dela', id)).rejects.toThrow('approval-twice')
    await expect(book.as('Tomo', (pen) => withhold(pen, id, 'too late'))).rejects.toThrow('withheld-too-late')
  })

  it('takes no name once it was declined, or withdrawn by its writer', async () => {
    for (const by of ['Ada', 'Tomo'] as const) {
      const id = await writtenBy('Tomo', kind)
      await book.as(by, (pen) => withhold(pen, id, 'not now'))
      await expect(named('Ada', id)).rejects.toThrow('approval-withheld')
      await expect(book.as(by, (pen) => withhold(pen, id, 'again'))).rejects.toThrow('withheld-before')
    }
  })
})

describe('the table of acts with two names', () => {
  it('tells of every act that is about a person who that is', () => {
    const concerned = (Object.keys(TWO_NAME_ACTS) as TwoNameKind[]).filter((kind) => actOf(kind).concerned)
    expect(concerned.toSorted()).toEqual(CONCERNED.toSorted())
  })

  it('takes no name under anything else', async () => {
    const id = await book.as('Tomo', (pen) => appendEntry(pen, { kind: 'float-limit' }, {}))
    for (const name of OTHERS) await expect(named(name, id)).rejects.toThrow('no second name belongs')
  })
})
