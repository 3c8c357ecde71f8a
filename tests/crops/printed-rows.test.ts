import { expect, it } from 'vitest'
import { CROPS } from '../../domain/crops/data/crops.ts'
import { STAGE_LENGTHS } from '../../domain/crops/data/stage-lengths.ts'
import { startedBook } from '../support/book.ts'

it('every printed crop, with each of its printed stage lengths, can be saved as it is', async () => {
  const { ada } = await startedBook()
  const pages = CROPS.flatMap(({ key, stageDays }) => {
    const rows = STAGE_LENGTHS.filter((row) => row.cropKey === key)
    const path = `/crops/list/${key}`
    return [...(stageDays ? [path] : []), ...rows.map((_, at) => `${path}?stages=${at}`)]
  })
  expect(pages.length).toBeGreaterThan(CROPS.length)
  const refused = []
  for (const path of pages) {
    const answer = await ada.fill(path, {})
    if (answer.status !== 200)
      refused.push(`${path}: ${answer.html.querySelectorAll('.error').map((one) => one.text.trim())}`)
  }
  expect(refused).toEqual([])
})
