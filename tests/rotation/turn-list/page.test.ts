import { beforeAll, describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

let chair: Visitor
let path: string
beforeAll(async () => {
  const valley = await openValley()
  chair = await valley.signIn('amaru')
  path = (await chair.open('/turns/lists')).html.querySelector('main .doors a')!.getAttribute('href')!
})

const rows = async () =>
  (await chair.open(path)).html
    .querySelectorAll('table tbody tr')
    .map((row) => [...row.querySelector('td')!.text.matchAll(/(?:^|; )(\d+) /g)].map((match) => Number(match[1])))

describe('turns by list', () => {
  it('refuses a plot that is not there or twice on the list, and keeps what was typed', async () => {
    const fields = { fromOn: '2026-11-25', perDay: '2', plots: '3\n4\n3' }
    const page = await chair.fill(path.replace('lists', 'settle/list'), fields)
    expect(page.status).toBe(422)
    expect(page.words).toContain('Plot 3 is on the list twice')
    expect(page.html.querySelector('#plots')!.text).toContain('3\n4\n3')
    expect((await chair.fill(path.replace('lists', 'settle/list'), { ...fields, plots: '3 999' })).words).toContain(
      'no plot 999',
    )
  })

  it('calls name after name, pauses for a funeral, and resumes at the next name', async () => {
    const page = await chair.fill(path.replace('lists', 'settle/list'), {
      fromOn: '2026-11-25',
      perDay: '2',
      plots: '3\n4\n5\n6\n7',
    })
    expect(page.words).toContain('Next: 3 ')
    expect((await rows()).slice(0, 3)).toEqual([[3, 4], [5, 6], [7, 3]]) // biome-ignore format: one row of the list each
    await chair.send(await chair.open(path), {}, `${path}/had`)
    expect((await chair.open(path)).words).toContain('Next: 4 ')
    const paused = await chair.fill(path.replace('lists', 'settle/pause'), { cause: 'funeral', fromOn: '2026-11-26' })
    expect(paused.words).toContain('The list stands still: a funeral')
    expect((await rows()).slice(0, 3)).toEqual([[4], [], []])
    const again = await chair.send(await chair.open(path), {}, `${path}/goes-on`)
    expect(again.words).not.toContain('The list stands still')
    expect((await rows()).slice(0, 4)).toEqual([[4], [], [5, 6], [7, 3]])
  })
})
