/** No address of anybody's (RFC 6761, 6.4): whatever a path leads to another host from here leads to another host. */
const HERE = 'http://book.invalid'

/** Only a path of this book, never another site, as the reader of addresses in a browser reads it. */
export function safeNext(next: unknown): string {
  const path = typeof next === 'string' ? pathHere(next) : null
  // What was written plain may lead away once it is: `/.//elsewhere`.
  return path !== null && pathHere(path) === path ? path : '/'
}

function pathHere(address: string): string | null {
  if (!address.startsWith('/') || !URL.canParse(address, HERE)) return null
  const { origin, pathname, search } = new URL(address, HERE)
  return origin === HERE ? `${pathname}${search}` : null
}
