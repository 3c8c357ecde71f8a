import type { NetworkInterfaceInfo } from 'node:os'
import { encode } from 'uqr'

type Interfaces = NodeJS.Dict<NetworkInterfaceInfo[]>

const EVERY_NETWORK = new Set(['0.0.0.0', '::'])
const OWN_MACHINE = /^(127\.|::1$|localhost$)/

interface Listening {
  HOST: string
  PORT: number
  /** Whether a proxy with TLS stands before it, or the address that it is opened by. */
  BEHIND_TLS: boolean | string
}

/** Under which addresses phones reach the book; none where it listens to its own machine only and no proxy stands before it. */
export function phoneAddresses({ HOST, PORT, BEHIND_TLS }: Listening, interfaces: Interfaces): string[] {
  if (typeof BEHIND_TLS === 'string') return [BEHIND_TLS]
  if (BEHIND_TLS) return networksOf(interfaces).map((address) => `https://${address}`)
  if (isOwnMachine(HOST)) return []
  if (!EVERY_NETWORK.has(HOST)) return [urlOf(HOST, PORT)]
  return networksOf(interfaces).map((address) => urlOf(address, PORT))
}

/** Whether a book that listens on it hears its own machine alone. */
export function isOwnMachine(host: string): boolean {
  return OWN_MACHINE.test(host)
}

/** The address of this machine in each network it is in. */
function networksOf(interfaces: Interfaces): string[] {
  return Object.values(interfaces)
    .flatMap((some) => some ?? [])
    .filter(({ internal, family }) => !internal && family === 'IPv4')
    .map(({ address }) => address)
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
