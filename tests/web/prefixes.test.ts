import { beforeAll, expect, it } from 'vitest'
import { routesOf } from '../support/addresses.ts'
import { openValley } from '../support/valley.ts'

let valley: Awaited<ReturnType<typeof openValley>>

beforeAll(async () => {
  valley = await openValley()
})

it('every beginning of an address leads to a page', async () => {
  const hila = await valley.signIn('hila')
  const beginnings = new Set<string>()
  for (const { method, path } of routesOf(valley.app.printRoutes({ commonPrefix: false }))) {
    const parts = path.split('?')[0]!.split('/')
    // What stands behind a name is a thing of the book: where there is none, that is said.
    const named = parts.findIndex((part) => part.startsWith(':'))
    const whole = named < 0 ? parts.length : named
    // A sound is no page, nor are files of the look.
    if (method === 'GET' && !path.endsWith('.wav') && !path.includes('*'))
      for (let end = 2; end <= whole; end++) beginnings.add(parts.slice(0, end).join('/'))
  }
  expect(beginnings.size).toBeGreaterThan(120)
  const nowhere: string[] = []
  for (const path of beginnings) {
    const { status } = await hila.open(path)
    // A book that was begun is begun once.
    if (status !== 200 && status !== 403 && path !== '/start') nowhere.push(`${status} ${path}`)
  }
  expect(nowhere).toEqual([])
  expect((await hila.open('/turns/settle')).path).toMatch(/^\/turns(\/weeks\/|$)/)
  expect((await hila.open('/no-such-place')).status).toBe(404)
})

it('ways of one thing share an address, and one that is not known is the first', async () => {
  const amaru = await valley.signIn('amaru')
  const heading = async (path: string) => (await amaru.open(path)).html.querySelector('h1')!.text
  const [float, bucket] = [await heading('/water/stream/flow'), await heading('/water/stream/flow?as=bucket')]
  expect(bucket).not.toBe(float)
  expect(await heading('/water/stream/flow?as=something')).toBe(float)
})
