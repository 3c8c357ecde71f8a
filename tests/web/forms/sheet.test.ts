import { describe, expect, it } from 'vitest'
import { checks } from '../../../server/web/forms/fields.ts'
import { defineForm } from '../../../server/web/forms/forms.ts'
import { bodyOfRow, sheetColumns } from '../../../server/web/forms/sheet.ts'

const EVENTS = ['leak', 'level-low', 'level-high']
const form = defineForm('told', { events: checks(EVENTS), outletIds: checks() })
const columns = sheetColumns({ form, head: [] }, (key) => key.split('.').at(-1)!)
const marks = { outletIds: [1, 2, 3].map((number) => ({ value: `id-${number}`, mark: String(number), label: '' })) }
const read = (cells: Record<string, string>) => bodyOfRow(columns, cells, marks)

describe('a cell in which several may be written', () => {
  it('gives each of them', () => {
    const { body, errors } = read({ events: 'leak; LEVEL-LOW', outletIds: '3, 1' })
    expect([body, errors]).toEqual([{ events: ['leak', 'level-low'], outletIds: ['id-3', 'id-1'] }, {}])
    expect(read({ events: 'le', outletIds: '2' }).errors).toHaveProperty('events') // Three begin so.
    expect(read({ events: 'lea', outletIds: '2' }).body).toEqual({ events: ['leak'], outletIds: ['id-2'] })
    expect(read({ events: '', outletIds: '' }).body).toEqual({ events: [], outletIds: [] })
  })

  it('is refused with what was typed where one of them is not known, wherever it stands', () => {
    for (const events of ['leak, flood', 'flood, leak']) {
      const { body, errors } = read({ events, outletIds: '' })
      expect(body).not.toHaveProperty('events')
      expect(errors.events).toMatchObject({ key: 'paper.no-such-word', values: { typed: 'flood' } })
    }
    for (const outletIds of ['1+9', '9 1']) {
      const { body, errors } = read({ events: '', outletIds })
      expect(body).not.toHaveProperty('outletIds')
      expect(errors.outletIds).toMatchObject({ key: 'paper.no-such-mark', values: { typed: '9' } })
    }
  })
})
