import { createServer } from 'node:net'

/** Asked before a book is opened, so that no empty one is left behind where the port is taken. */
export function mustBeFree(host: string, port: number): Promise<void> {
  return new Promise((free, taken) => {
    const probe = createServer()
    probe.once('error', taken)
    probe.listen({ host, port }, () => probe.close(() => free()))
  })
}
