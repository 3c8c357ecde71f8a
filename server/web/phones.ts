import type { NetworkInterfaceInfo } from 'node:os'
import { encode } from 'uqr'

type Interfaces = NodeJS.Dict<NetworkInterfaceInfo[]>

const EVERY_NETWORK = new Set(['0.0.0.0', '::'])
const OWN_MACHINE = /^(127\.|::1$|localhost$)/

/** Under which addresses phones reach a book that listens on `host`; none where it listens to its own machine only. */
export function phoneAddresses(host: string, port: number, interfaces: Interfaces): string[] {
  if (OWN_MACHINE.test(host)) return []
  if (!EVERY_NETWORK.has(host)) return [urlOf(host, port)]
  const found = Object.values(interfaces).flatMap((some) => some ?? [])
  return found
    .filter(({ internal, family }) => !internal && family === 'IPv4')
    .map(({ address }) => urlOf(address, port))
}

/** What to write into a browser on the machine itself. */
export function ownAddress(host: string, port: number): string {
  return urlOf(EVERY_NETWORK.has(host) ? '127.0.0.1' : host, port)
}

function urlOf(host: string, port: number): string {
  const name = host.includes(':') ? `[${host}]` : host
  return port === 80 ? `http://${name}` : `http://${name}:${port}`
}

/** The dark fields of a square code as one path of unit squares, with the quiet border that readers need (ISO/IEC 18004). */
export function squareCode(text: string): { size: number; path: string } {
  const { data, size } = encode(text, { ecc: 'M', border: 4 })
  const path = data.flatMap((row, y) => row.flatMap((dark, x) => (dark ? [`M${x} ${y}h1v1h-1z`] : []))).join('')
  return { size, path }
}
