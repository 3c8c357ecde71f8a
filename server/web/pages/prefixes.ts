import type { FastifyInstance } from 'fastify'

/**
 * Every beginning of an address leads somewhere: where no page stands (`/turns/settle`), to the nearest page above it. So whoever
 * shortens an address by hand, or types a door, is not told that there is nothing.
 */
export function addPrefixes(app: FastifyInstance): void {
  const pages: string[][] = []
  app.addHook('onRoute', ({ url, method }) => {
    if ([method].flat().includes('GET') && !url.includes('*')) pages.push(partsOf(url))
  })
  app.addHook('onRequest', async (request, reply) => {
    if (request.method !== 'GET') return
    const asked = partsOf(request.url.split('?')[0]!)
    if (asked.length === 0 || pages.some((page) => page.length === asked.length && isWrittenSo(page, asked))) return
    // A word of an address is no thing's name, also where a name could stand.
    const leadsOn = request.is404 ? begins : isWrittenSo
    if (!pages.some((page) => page.length > asked.length && leadsOn(page, asked))) return
    for (let length = asked.length - 1; length > 0; length--) {
      const above = asked.slice(0, length)
      if (pages.some((page) => page.length === length && begins(page, above))) {
        return reply.redirect(`/${above.join('/')}`, 303)
      }
    }
  })
}

function partsOf(path: string): string[] {
  return path.split('/').filter((part) => part !== '')
}

function isWrittenSo(page: readonly string[], parts: readonly string[]): boolean {
  return parts.every((part, at) => page[at] === part)
}

/** Whether an address begins with these parts; a name after a colon stands for any. */
function begins(page: readonly string[], parts: readonly string[]): boolean {
  return parts.every((part, at) => page[at] === part || page[at]!.startsWith(':'))
}
