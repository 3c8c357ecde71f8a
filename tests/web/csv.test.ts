import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { InputError } from '../../domain/input-error.ts'
import { columnAt, readCsv, readCsvDate, readCsvNumber, writeCsv } from '../../server/web/figures/csv.ts'

function refusal(text: string) {
  try {
    readCsv(text)
  } catch (error) {
    if (error instanceof InputError) return [error.code, error.values]
    throw error
  }
  return null
}

describe('a list read from a file', () => {
  it.each([
    ['commas', 'date,max\n2026-06-01,30.5\n', ','],
    ['semicolons and a decimal comma', 'date;max\r\n2026-06-01;30,5\r\n', ';'],
    ['tabs, as pasted from a spreadsheet', 'date\tmax\n2026-06-01\t30.5', '\t'],
    ['quotes around a heading with a comma', '"date, local";max\n2026-06-01;30,5', ';'],
    ['the mark of UTF-8 before it', '\ufeffdate,max\n2026-06-01,30.5', ','],
  ])('is understood with %s', (_what, text, delimiter) => {
    const table = readCsv(text)
    expect(table.delimiter).toBe(delimiter)
    expect(table.rows).toHaveLength(1)
    expect(table.rows[0]!.line).toBe(2)
    expect(readCsvNumber(table.rows[0]!.cells[1]!)).toBe(30.5)
  })

  it('counts its lines as a spreadsheet does, empty ones too', () => {
    expect(readCsv('a,b\n1,2\n\n,\n3,4\n').rows.map((row) => row.line)).toEqual([2, 5])
  })

  it('finds a column whatever its capitals and spaces', () => {
    expect(columnAt(readCsv('Date, Max  temp \n1,2'), 'max temp')).toBe(1)
    expect(columnAt(readCsv('date,max\n1,2'), 'min')).toBe(-1)
  })

  it.each([
    ['', 'csv-empty', {}],
    ['  \n\n', 'csv-empty', {}],
    ['date,max\n', 'csv-no-rows', {}],
    ['date,max\n2026-06-01,30,5\n', 'csv-cells', { row: 2, cells: 3, columns: 2 }],
    ['date,max,Max\n1,2,3', 'csv-same-column', { column: 'Max' }],
    ['date,max\n"2026-06-01,30\n', 'csv-quotes', {}],
    ['date,temp\ufffdrature\n1,2', 'csv-not-utf8', {}],
    ['d\0a\0t\0e\0', 'csv-not-utf8', {}],
  ])('is refused where it is %j', (text, code, values) => {
    const [found, said] = refusal(text)!
    expect(found).toBe(code)
    expect(said).toMatchObject(values)
  })
})

describe('a number in a cell', () => {
  it.each([
    ['30.5', 30.5],
    ['30,5', 30.5],
    ['-2,25', -2.25],
    ['\u22122.25', -2.25],
    ['1,234', 1.234],
    ['.5', 0.5],
    ['hot', null],
    ['1.234,5', null],
    ['12 mm', null],
    ['', null],
    ['Infinity', null],
    ['1e3', null],
  ])('reads %j as %s', (text, value) => expect(readCsvNumber(text)).toBe(value))
})

describe('a day in a cell', () => {
  it.each([
    ['2026-06-04', 'year-first', '2026-06-04'],
    ['2026/6/4', 'year-first', '2026-06-04'],
    ['4/6/2026', 'day-first', '2026-06-04'],
    ['04.06.2026', 'day-first', '2026-06-04'],
    ['6/4/2026', 'month-first', '2026-06-04'],
    ['31/6/2026', 'day-first', null],
    ['13/25/2026', 'month-first', null],
    ['4/6/26', 'day-first', null],
    ['4/6/2026', 'year-first', null],
    ['yesterday', 'year-first', null],
  ] as const)('%s, %s, is %s', (text, order, date) => expect(readCsvDate(text, order)).toBe(date))
})

describe('a list written to a file', () => {
  it('makes text harmless that a spreadsheet would run, and leaves numbers alone', () => {
    const csv = writeCsv({
      columns: ['name', 'm3'],
      rows: [
        ['=HYPERLINK("x")', -2.5],
        ['@sum', 0],
        ['-1+2', null],
        ['Ada', 12],
      ],
    })
    expect(csv.split('\r\n')).toEqual(['\ufeffname,m3', `"'=HYPERLINK(""x"")",-2.5`, "'@sum,0", "'-1+2,", 'Ada,12', ''])
  })

  it('parts cells by semicolons where decimals are written with commas', () => {
    expect(writeCsv({ columns: ['a', 'b'], rows: [['x;y', 1.5]], decimalComma: true })).toBe(
      '\ufeffa;b\r\n"x;y";1,5\r\n',
    )
  })

  it('reads back as it was written', () => {
    const cell = fc
      .string({ minLength: 1 })
      .filter((text) => text.trim() === text && !/^[=+\-@\uff1d\uff0b\uff0d\uff20]|[\0\ufffd]/.test(text))
    fc.assert(
      fc.property(
        fc.array(fc.tuple(cell, fc.double({ noNaN: true, min: -1e6, max: 1e6 })), { minLength: 1 }),
        (rows) => {
          const table = readCsv(writeCsv({ columns: ['words', 'figure'], rows }))
          expect(table.rows.map((row) => row.cells)).toEqual(rows.map(([text, figure]) => [text, String(figure)]))
        },
      ),
    )
  })
})
