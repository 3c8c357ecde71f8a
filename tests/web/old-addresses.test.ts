import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Route, routesOf } from '../support/addresses.ts'
import { openValley } from '../support/valley.ts'

const DOORS = ['/people', '/works', '/water', '/crops', '/turns', '/log', '/money', '/paper']

let valley: Awaited<ReturnType<typeof openValley>>
let routes: Route[]

beforeAll(async () => {
  valley = await openValley()
  routes = routesOf(valley.app.printRoutes({ commonPrefix: false }))
})
afterAll(() => valley.app.close())

describe('an address from before the doors', () => {
  it('answers with its new place for every page and form, keeping method and what was asked', async () => {
    const wrong: string[] = []
    let tried = 0
    for (const { method, path } of routes) {
      const door = DOORS.find((one) => path.startsWith(`${one}/`))
      const old = door && path.slice(door.length).replace(/:\w+/g, 'x')
      // What is all name was never an address without its door, and the closings of the log never stood without it.
      if (!old || old === '/' || /^\/:\w+$/.test(path.slice(door.length)) || path.startsWith('/log/closings')) continue
      tried++
      const answer = await valley.app.inject({ method: method as 'GET', url: `${old}?week=3` })
      const to = answer.headers.location ?? ''
      if (answer.statusCode !== 308 || to !== `${door}${old}?week=3`)
        wrong.push(`${method} ${old}: ${answer.statusCode} ${to}`)
    }
    expect(tried).toBeGreaterThan(300)
    expect(wrong).toEqual([])
  })

  it('stays unknown when it never was one', async () => {
    expect((await valley.app.inject({ method: 'GET', url: '/no-such-place' })).statusCode).toBe(404)
  })
})
