export interface Route {
  method: 'GET' | 'POST'
  path: string
}

/**
 * Reads the tree of addresses that the framework prints; each step in stands four signs further to the right. Ways that share an
 * address (`as`) stand below each other, and are given with it.
 */
export function routesOf(printed: string): Route[] {
  const above: string[] = []
  return printed.split('\n').flatMap((line) => {
    const parts = /^([│ ]*(?:[├└]── | {3}(?=\S)))(\S+)(?: \(([A-Z, ]+)\))?(?: \{"as":"([\w-]+)"\})?$/.exec(line)
    if (!parts) return []
    const depth = parts[1]!.length / 4 - 1
    above.length = depth
    above[depth] = parts[2]!
    const path = above.join('').replace('//', '/') + (parts[4] ? `?as=${parts[4]}` : '')
    return (['GET', 'POST'] as const)
      .filter((method) => parts[3]?.split(', ').includes(method))
      .map((method) => ({ method, path }))
  })
}
