import { describe, expect, it } from 'vitest'
import type { Clock } from '../../server/book/clock.ts'
import { readCsv } from '../../server/web/figures/csv.ts'
import { makeFormat } from '../../server/web/figures/format.ts'
import { ownCount } from '../../server/web/figures/own-measure.ts'
import { password } from '../../server/web/forms/fields.ts'
import { money } from '../../server/web/forms/money-field.ts'
import { type SheetColumn, typedRows } from '../../server/web/forms/sheet.ts'
import { pastedRows } from '../../server/web/forms/sheet-paste.ts'
import { longList } from '../../server/web/pages/long-list.ts'
import { momentOfForm } from '../../server/web/pages/visit.ts'
import { sendSound } from '../../server/web/sound.ts'

const format = makeFormat('en', 'UTC')
const takes = ({ schema }: { schema: { safeParse: (value: string) => { success: boolean } } }, value: string) =>
  schema.safeParse(value).success

describe('what is typed', () => {
  it('is taken up to ten thousand million of a currency with cents, and up to 200 signs of a password', () => {
    expect(['10000000000', '10000000000.01'].map((value) => takes(money('KES'), value))).toEqual([true, false])
    expect([7, 8, 200, 201].map((signs) => takes(password(), 'w'.repeat(signs)))).toEqual([false, true, true, false])
  })

  it('is read from the first row of a sheet to its last, and from lists of 20,000 lines', () => {
    const posted = Object.fromEntries([0, 1, 40, 41].map((row) => [`${row}.name`, 'Bela']))
    const columns = [{ name: 'name', label: 'Name' }] as unknown as SheetColumn[]
    expect(typedRows(columns, posted, 40).map(({ row }) => row)).toEqual([1, 40])
    const lines = (count: number) => ['date;in', ...Array(count).fill('2026-06-02;5')].join('\n')
    expect(readCsv(lines(20_000)).rows).toHaveLength(20_000)
    expect(() => readCsv(lines(20_001))).toThrow('csv-too-many-rows')
  })

  it('under a heading that the sheet does not have is refused where it stands in one row of two', () => {
    const columns = [{ name: 'name', label: 'Name' }] as unknown as SheetColumn[]
    const pasted = (last: string) =>
      pastedRows(columns, `Name;Phone\nBela;\nChidi;${last}`, { from: 1, rowLabel: 'Row' })
    expect(pasted('').map(({ cells }) => cells.name)).toEqual(['Bela', 'Chidi'])
    expect(() => pasted('0700')).toThrow('csv-unknown-heading')
    const first = () => pastedRows(columns, 'Phone;Name\n0700;Bela', { from: 1, rowLabel: 'Row' })
    expect(first).toThrow('csv-unknown-heading')
  })
})

describe('what is told', () => {
  it('of a volume has a decimal below ten and none from there on', () => {
    expect([0, -0, 9.94, 9.95, -9.94, -9.95, -0.04].map(format.volume)).toEqual([
      '0',
      '0',
      '9.9',
      '10',
      '−9.9',
      '−10',
      '0',
    ])
  })

  it('in hours of the own outlet is the volume by its flow, and nothing where no flow is known', () => {
    const count = ownCount((key, values) => `${key} ${values?.hours}`, format, { hours: true })
    expect([count(3, 2), count(3, null)]).toEqual([`measure.own-hours ${format.duration(1.5)}`, ''])
  })

  it('is found by its own number alone, or by every word that has it', () => {
    const lines = [
      { at: 3, words: 'Bela' },
      { at: 13, words: 'Chidi' },
      { at: 4, words: 'plot 3, Dela' },
    ]
    const found = (find: string) => longList({ query: { find } }, lines).open.map(({ at }) => at)
    expect([found('3'), found('plot 3'), found('EL')]).toEqual([[3], [4], [3, 4]])
  })
})

it('a machine of long ago goes by a typed day up to the 120th after the last entry', () => {
  const clock = { at: new Date('2001-01-01T00:00:00Z'), readAt: new Date('2026-06-01T08:00:00Z') } as Clock
  const todayBy = (day: string) => momentOfForm(clock, 'UTC', { on: day }).today
  expect([todayBy('2026-09-29'), todayBy('2026-09-30')]).toEqual(['2026-09-29', '2026-06-01'])
})

describe('of a sound of ten bytes', () => {
  const asked = (range: string) => {
    const answer = { status: 200, sent: '' }
    const reply = {
      type: () => reply,
      header: () => reply,
      code: (status: number) => {
        answer.status = status
        return reply
      },
      send: (bytes?: Buffer) => {
        answer.sent = bytes?.toString() ?? ''
      },
    }
    sendSound({ request: { headers: { range } }, reply } as never, Buffer.from('0123456789'))
    return [answer.status, answer.sent]
  }

  it.each([
    ['bytes=5-5', 206, '5'],
    ['bytes=9-9', 206, '9'],
    ['bytes=9-', 206, '9'],
    ['bytes=-1', 206, '9'],
    ['bytes=10-', 416, ''],
    ['bytes=5-4', 200, '0123456789'],
  ])('%s is answered by %s with “%s”', (range, status, sent) => {
    expect(asked(range)).toEqual([status, sent])
  })
})
