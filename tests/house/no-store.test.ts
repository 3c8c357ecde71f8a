import { expect, it } from 'vitest'
import { Rascal } from '../faults/nasty.ts'
import { routesOf } from '../support/addresses.ts'
import { openValley } from '../support/valley.ts'

/** RFC 9111, 5.2.2.5: a cache that meets `no-store` keeps nothing of the answer. */
it('lets no browser keep a page or a file, but the files of the look', async () => {
  const valley = await openValley()
  const fanta = new Rascal(valley.app)
  await fanta.signIn('fanta')
  const routes = routesOf(valley.app.printRoutes({ commonPrefix: false }))
  const { entryId } = await valley.db.selectFrom('plot').select('entryId').executeTakeFirstOrThrow()
  const addresses = routes
    .filter(({ method, path }) => method === 'GET' && !path.includes('*'))
    .map(({ path }) => path.replace(/:\w+/g, entryId))
  expect(addresses.length).toBeGreaterThan(150)
  const kept: string[] = []
  const opened: string[] = []
  for (const path of addresses) {
    const { status, headers } = await fanta.open(path)
    if (headers['cache-control'] !== 'no-store') kept.push(path)
    if (status === 200) opened.push(path)
  }
  expect(kept).toEqual([])
  expect(opened).toEqual(
    expect.arrayContaining([
      '/',
      '/money/members/all',
      '/money/all-lines.csv',
      '/money/receipts.csv',
      '/log/lines/drawn.csv',
    ]),
  )
  const refused = await fanta.post('/money/pay', {})
  expect(refused).toMatchObject({ status: 422, headers: { 'cache-control': 'no-store' } })
  const look = await fanta.open('/assets/commonweir.css')
  expect(look.headers['cache-control']).toBe('public, max-age=3600')
})
