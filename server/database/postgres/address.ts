const USUAL_SCHEMA = 'commonweir'

/** Where a book on PostgreSQL is: the server and its database, and the group's own schema in it. */
export interface Address {
  /** What `pg` is told. */
  url: string
  schema: string
}

export function isPostgresAddress(place: string): boolean {
  return /^postgres(ql)?:\/\//.test(place)
}

/** `postgres://host/database?schema=kijito`. Throws RangeError for a name that needs quotation marks. */
export function addressOf(place: string): Address {
  const [url = '', query = ''] = place.split('?')
  const asked = new URLSearchParams(query)
  const schema = asked.get('schema') ?? USUAL_SCHEMA
  if (!/^[a-z][a-z0-9_]*$/.test(schema))
    throw new RangeError('schema must be a name of small letters, digits and underlines')
  asked.delete('schema')
  return { url: asked.size > 0 ? `${url}?${asked}` : url, schema }
}
