import { expect, it } from 'vitest'
import { Rascal } from '../faults/nasty.ts'
import { routesOf } from '../support/addresses.ts'
import { openValley } from '../support/valley.ts'

/** What a browser is told with every answer: nothing runs, nothing frames it, nothing is guessed of its kind, nobody is told where from. */
const TOLD: [header: string, holds: (value: unknown) => boolean][] = [
  ['content-security-policy', (value) => /default-src 'none'.*frame-ancestors 'none'/.test(String(value))],
  ['x-content-type-options', (value) => value === 'nosniff'],
  ['referrer-policy', (value) => value === 'no-referrer'],
  ['cross-origin-opener-policy', (value) => value === 'same-origin'],
  ['access-control-allow-origin', (value) => value === undefined],
  ['server', (value) => value === undefined],
  ['x-powered-by', (value) => value === undefined],
  ['content-type', (value) => !/^text\//.test(String(value)) || /; ?charset=utf-8$/i.test(String(value))],
]

/** RFC 9111, 5.2.2.5: a cache that meets `no-store` keeps nothing of the answer. */
it('lets no browser keep, run, frame or guess at a page or a file, but keep the files of the look', async () => {
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
  const untold: string[] = []
  for (const path of addresses) {
    const { status, headers } = await fanta.open(path)
    if (headers['cache-control'] !== 'no-store') kept.push(path)
    if (status === 200) opened.push(path)
    untold.push(...TOLD.filter(([name, holds]) => !holds(headers[name])).map(([name]) => `${path} ${name}`))
  }
  expect(kept).toEqual([])
  expect(untold).toEqual([])
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
