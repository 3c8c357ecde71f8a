import type { FastifyInstance } from 'fastify'

/** An address of the book in what it answers; whatever somebody typed has its quotation marks written as `&quot;`. */
const ADDRESS = /(\s(?:href|action|formaction|src)=")\/(?!\/)/g

/**
 * The one place where addresses get what stands before them: inside, a book knows nothing of it, so that pages, forms, redirects and
 * what is written are the same under any prefix, and no page can forget it. Whoever hands requests on has taken it off.
 */
export function addPrefix(app: FastifyInstance, prefix: string): void {
  if (prefix === '') return
  app.addHook('onSend', async (_request, reply, sent) => {
    const location = reply.getHeader('location')
    if (typeof location === 'string' && /^\/(?!\/)/.test(location)) reply.header('location', prefix + location)
    const isPage = String(reply.getHeader('content-type')).startsWith('text/html')
    if (!isPage || typeof sent !== 'string') return sent
    reply.removeHeader('content-length')
    return sent.replace(ADDRESS, `$1${prefix}/`)
  })
}
