import jsqr from 'jsqr'
import { describe, expect, it } from 'vitest'
import { readSettings } from '../../server/settings.ts'
import { phoneAddresses, squareCode } from '../../server/web/phones.ts'
import { OWN_GROUP, openBook } from '../support/book.ts'

const at = (address: string, more: object = {}) => ({
  address,
  netmask: '255.255.255.0',
  mac: '00:00:00:00:00:00',
  cidr: null,
  internal: false,
  family: 'IPv4' as const,
  ...more,
})
const INTERFACES = {
  lo: [at('127.0.0.1', { internal: true })],
  wlan0: [at('192.168.43.7'), at('fe80::1', { family: 'IPv6', scopeid: 2 })],
  eth0: [at('10.0.0.5')],
}

/** Reads the code as a camera would, with a reader that shares nothing with the writer. */
function readBack({ size, path }: ReturnType<typeof squareCode>): string | undefined {
  const scale = 4
  const pixels = new Uint8ClampedArray(4 * (scale * size) ** 2).fill(255)
  for (const [, x, y] of path.matchAll(/M(\d+) (\d+)h1v1h-1z/g))
    for (let dy = 0; dy < scale; dy++)
      for (let dx = 0; dx < scale; dx++) {
        const pixel = 4 * ((Number(y) * scale + dy) * scale * size + Number(x) * scale + dx)
        pixels.fill(0, pixel, pixel + 3)
      }
  return jsqr.default(pixels, scale * size, scale * size)?.data
}

const listening = (HOST: string, BEHIND_TLS: boolean | string = false) => ({ HOST, PORT: 3000, BEHIND_TLS })

describe('the addresses for phones', () => {
  it('are those of each network, and never every network at once', () => {
    expect(phoneAddresses(listening('0.0.0.0'), INTERFACES)).toEqual([
      'http://192.168.43.7:3000',
      'http://10.0.0.5:3000',
    ])
    expect(phoneAddresses({ ...listening('10.0.0.5'), PORT: 80 }, INTERFACES)).toEqual(['http://10.0.0.5'])
    expect(phoneAddresses(listening('fe80::1'), INTERFACES)).toEqual(['http://[fe80::1]:3000'])
  })

  it.each(['127.0.0.1', 'localhost', '::1'])('are none where the book listens to its own machine only: %s', (host) => {
    expect(phoneAddresses(listening(host), INTERFACES)).toEqual([])
  })
})

describe('the addresses behind a proxy with TLS', () => {
  it('are those of the proxy in each network, or the one that is told', () => {
    expect(phoneAddresses(listening('127.0.0.1', true), INTERFACES)).toEqual([
      'https://192.168.43.7',
      'https://10.0.0.5',
    ])
    expect(phoneAddresses(listening('127.0.0.1', 'https://weir.example'), INTERFACES)).toEqual(['https://weir.example'])
  })

  it('are told by the one setting', () => {
    expect(readSettings({ BEHIND_TLS: 'https://weir.example:8443/' }).BEHIND_TLS).toBe('https://weir.example:8443')
    expect(readSettings({ BEHIND_TLS: 'yes' }).BEHIND_TLS).toBe(true)
    expect(readSettings({}).BEHIND_TLS).toBe(false)
    expect(() => readSettings({ BEHIND_TLS: 'http://weir.example' })).toThrow(/BEHIND_TLS must be/)
  })
})

describe('the square code', () => {
  it.each(['http://192.168.43.7:3000', 'http://10.123.45.67', 'https://weir.example/book'])(
    'is read back: %s',
    (url) => {
      expect(readBack(squareCode(url))).toBe(url)
    },
  )
})

describe('the page for phones', () => {
  const startedWith = async (urls: string[]) => {
    const ada = (await openBook(undefined, undefined, { phones: () => urls })).visitor()
    await ada.fill('/start', OWN_GROUP)
    return ada
  }

  it('shows each address with its code, and the first page tells the committee', async () => {
    const ada = await startedWith(['http://192.168.43.7:3000'])
    const { html } = await ada.open('/book/phones')
    expect(html.querySelector('.square-code figcaption')!.text.trim()).toBe('http://192.168.43.7:3000')
    const path = html.querySelector('.square-code path')!.getAttribute('d')!
    const size = Number(html.querySelector('.square-code svg')!.getAttribute('viewBox')!.split(' ')[2])
    expect(readBack({ size, path })).toBe('http://192.168.43.7:3000')
    expect((await ada.open('/')).words).toContain('Phones open the book at http://192.168.43.7:3000')
  })

  it('says where there is none what to do', async () => {
    const ada = await startedWith([])
    expect((await ada.open('/book/phones')).words).toContain('open it from the folder of the stick')
    expect((await ada.open('/')).words).toContain('Phones cannot reach the book yet')
  })
})
