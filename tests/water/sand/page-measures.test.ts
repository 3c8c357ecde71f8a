import { expect, it } from 'vitest'
import { bookWithWeir, errorBeside } from '../support.ts'

it('measures that are each possible but not together are asked back, at their edge, and what fits is taken', async () => {
  const { ada, weirPath } = await bookWithWeir({ crestHeight: '2', offTakeAboveBed: '0.2' })
  const described = (fields: Record<string, string>) => ada.fill(`${weirPath}/sand`, { crestHeight: '2', ...fields })
  for (const offTakeAboveBed of ['2', '2.5']) {
    const page = await described({ offTakeAboveBed })
    expect(page.status).toBe(422)
    expect(errorBeside(page, 'offTakeAboveBed')).toContain(
      'must lie below the top of the wall, which you put 2 m above',
    )
    expect(page.html.querySelector('#offTakeAboveBed')!.getAttribute('value')).toBe(offTakeAboveBed)
  }
  for (const markAboveCrest of ['-2', '-2.5']) {
    const page = await described({ offTakeAboveBed: '0.2', markAboveCrest })
    expect([page.status, errorBeside(page, 'markAboveCrest')]).toEqual([422, expect.stringContaining('bed')])
  }
  const page = await described({ offTakeAboveBed: '1.99', markAboveCrest: '-1.99' })
  expect([page.status, page.path]).toEqual([200, weirPath])
})
