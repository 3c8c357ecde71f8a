import { expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { makeFormat } from '../../../server/web/figures/format.ts'
import { catalogues } from '../../../server/web/words/catalogue.ts'

/** 2026-11-23 was a Monday (ISO 8601). */
const DAYS = [0, 1, 2, 3, 4, 5, 6].map((after) => addDays('2026-11-23', after))

it.each(catalogues().map(({ tag }) => tag))('every day of the week has a short name of its own in %s', (tag) => {
  const names = DAYS.map(makeFormat(tag, 'UTC').dayOfWeek)
  expect(new Set(names).size).toBe(7)
  expect(names.filter((name) => [...name].length > 8)).toEqual([])
})

it('names the Swahili days as they are cut short by hand', () => {
  const { dayOfWeek } = makeFormat('sw', 'UTC')
  expect(DAYS.map(dayOfWeek)).toEqual(['Jtatu', 'Jnne', 'Jtano', 'Alh', 'Ijum', 'Jmosi', 'Jpili'])
})

it('finds the short names of Portuguese under the tag of its figures too', () => {
  expect(DAYS.map(makeFormat('pt-PT', 'UTC').dayOfWeek)).toEqual(['seg', 'ter', 'qua', 'qui', 'sex', 'sáb', 'dom'])
})
