import type { FastifyInstance } from 'fastify'

interface Moved {
  method: string
  fits: RegExp
  door: string
  names: number
}

/** `/closings` closes a month of money; the closings of the log always stood behind their door. */
const ALWAYS_BEHIND = '/log/closings'

/**
 * Addresses had no door before them once, and stand so on printed sheets: one that is not found is looked for behind each
 * door. 308 keeps the method and what was sent.
 */
export function addOldAddresses(app: FastifyInstance, doors: readonly string[]): void {
  const moved: Moved[] = []
  app.addHook('onRoute', ({ url, method }) => {
    const door = doors.find((one) => url.startsWith(`${one}/`))
    const old = door && url.slice(door.length)
    // An address that is all names (`/turns/:id`) was never one without its door.
    if (!old || /^\/:\w+$/.test(old) || url.startsWith(ALWAYS_BEHIND)) return
    const names = old.split(':').length
    for (const one of [method].flat()) moved.push({ method: one, fits: patternOf(old), door, names })
  })
  app.addHook('onReady', async () => void moved.sort((a, b) => a.names - b.names))
  app.addHook('onRequest', async (request, reply) => {
    if (!request.is404) return
    const path = request.url.split('?')[0]!
    const there = moved.find((one) => one.method === request.method && one.fits.test(path))
    if (there) return reply.redirect(`${there.door}${request.url}`, 308)
  })
}

function patternOf(path: string): RegExp {
  const parts = path.split(/(:\w+)/).map((part) => (part.startsWith(':') ? '[^/]+' : part.replaceAll('.', '\\.')))
  return new RegExp(`^${parts.join('')}$`)
}
