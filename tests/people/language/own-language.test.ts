import { beforeAll, describe, expect, it } from 'vitest'
import { wishedLanguage } from '../../../server/web/words/taps.ts'
import { openBook } from '../../support/book.ts'
import { openValley } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

let valley: Awaited<ReturnType<typeof openValley>>

beforeAll(async () => {
  valley = await openValley()
})

const languageOf = async (visitor: Visitor, path: string) => {
  const html = (await visitor.open(path)).html.querySelector('html')!
  return `${html.getAttribute('lang')} ${html.getAttribute('dir')}`
}

const choose = async (visitor: Visitor, fields: Record<string, string>) => {
  const own = (await visitor.open('/')).html.querySelector('.who a')!.getAttribute('href')!
  return visitor.fill(`/people/settle/language/${own.split('/').at(-1)}`, fields)
}

describe('the language of a page', () => {
  it('is what the browser wishes for, before anybody is signed in', async () => {
    const stranger = valley.visitor()
    expect(await languageOf(stranger, '/sign-in')).toBe('en ltr')
    stranger.agent.set('accept-language', 'ar-EG,ar;q=0.9,en;q=0.8')
    expect(await languageOf(stranger, '/sign-in')).toBe('ar rtl')
    expect((await stranger.open('/sign-in')).words).toContain('كلمة السر')
  })

  it('is what was tapped on the device, whatever its browser wishes for', async () => {
    const stranger = valley.visitor()
    stranger.agent.set('accept-language', 'en')
    const door = await stranger.open('/sign-in?next=%2Fturns')
    const form = door.html.querySelector('form.languages')!
    const names = form.querySelectorAll('button').map((one) => one.text)
    expect(names).toEqual(expect.arrayContaining(['English', 'العربية']))
    const sent = Object.fromEntries(
      form.querySelectorAll('input').map((one) => [one.getAttribute('name')!, one.getAttribute('value')!]),
    )
    const answer = await stranger.agent
      .post('/sign-in/language')
      .type('form')
      .send({ ...sent, language: 'ar' })
    expect(answer.headers.location).toBe('/sign-in?next=%2Fturns')
    expect(await languageOf(stranger, '/sign-in')).toBe('ar rtl')
  })

  it('is what the person chose, and nobody else reads a word of it', async () => {
    const [amaru, hila] = [await valley.signIn('amaru'), await valley.signIn('hila')]
    hila.agent.set('accept-language', 'ar')
    expect(await languageOf(hila, '/')).toBe('en ltr')
    await choose(hila, { language: 'ar', digits: 'arab' })
    const inArabic = ['/', '/book', '/turns', '/people/languages']
    for (const path of [...inArabic, '/water', '/crops', '/log', '/people', '/turns/fair']) {
      // A page of which few words are translated is an English page, and laid out as one.
      expect([path, await languageOf(hila, path)]).toEqual([
        path,
        inArabic.includes(path) ? 'ar-u-nu-arab rtl' : 'en ltr',
      ])
      expect([path, await languageOf(amaru, path)]).toEqual([path, 'en ltr'])
      if (path !== '/people/languages') expect((await amaru.open(path)).text).not.toMatch(/[\u0600-\u06ff]/)
    }
    const first = await hila.open('/')
    expect(first.words).toMatch(/[٠-٩]{2}:[٠-٩]{2}–[٠-٩]{2}:[٠-٩]{2}/)
    expect(first.words).toContain('لا أستطيع المجيء')
  })

  it('borrows no word on a first page, whoever looks', async () => {
    for (const name of ['hila', 'dovi', 'amaru', 'fanta', 'goro', 'isko']) {
      const visitor = await valley.signIn(name)
      await choose(visitor, { language: 'ar', digits: '' })
      const { html, text } = await visitor.open('/')
      expect([name, html.querySelectorAll('span[lang=en]').map((one) => one.text)]).toEqual([name, []])
      expect([name, text.includes('\u2066')]).toEqual([name, false])
      expect([name, await languageOf(visitor, '/')]).toEqual([name, 'ar rtl'])
      await choose(visitor, { language: 'en', digits: '' })
    }
  })

  it('is laid out as English where its words are, and says which of them are not', async () => {
    const stranger = (await openBook('2026-11-25T10:00:00Z')).visitor()
    stranger.agent.set('accept-language', 'ar')
    expect(await languageOf(stranger, '/')).toBe('en ltr')
    const { html } = await stranger.open('/')
    const own = html.querySelectorAll('span[lang=ar][dir=rtl]').map((one) => one.text)
    expect(own.join(' ')).toMatch(/[\u0600-\u06ff]/)
    const outside = html.querySelectorAll('main p').filter((one) => !one.querySelector('[lang=ar]'))
    expect(outside.map((one) => one.text).join(' ')).not.toMatch(/[\u0600-\u06ff]/)
  })

  it('says of every borrowed sentence that it is English', async () => {
    const hila = await valley.signIn('hila')
    await choose(hila, { language: 'ar', digits: '' })
    const { html } = await hila.open('/turns/fair')
    const borrowed = html.querySelectorAll('main span[lang=en][dir=ltr]')
    expect(borrowed.length).toBeGreaterThan(5)
    expect(borrowed.map((one) => one.text).join(' ')).toMatch(/water/)
  })
})

describe('what is made for somebody', () => {
  it('speaks the language of whom it is for, and the board that of the group', async () => {
    const [amaru, hila] = [await valley.signIn('amaru'), await valley.signIn('hila')]
    await choose(amaru, { language: 'ar', digits: '' })
    await choose(hila, { language: 'en', digits: 'deva' })
    const own = (await hila.open('/')).html
      .querySelector('.turn-card .doors a[href$="/otherwise?as=swap"]')!
      .getAttribute('href')!
    const turn = own.replace('/otherwise?as=swap', '')
    const slip = await amaru.open(`${turn}/slip`)
    expect(slip.html.querySelector('html')!.getAttribute('lang')).toBe('en')
    const strip = slip.html.querySelector('.turn-slip')!
    expect([strip.getAttribute('lang'), strip.getAttribute('dir')]).toEqual(['en-u-nu-deva', 'ltr'])
    expect(strip.text).toMatch(/[०-९]{2}:[०-९]{2}–[०-९]{2}:[०-९]{2}/)
    expect(strip.text).not.toMatch(/[\u0600-\u06ff]/)
    const message = (await amaru.open(`${turn}?as=message`)).html.querySelector('.message-text')!.text
    expect(message).not.toMatch(/[\u0600-\u06ff]|\?/)
    expect((await amaru.agent.get(`${turn}.ics`)).text).toMatch(/DTSTART:\d{8}T\d{6}Z/)
    const sheet = await amaru.open('/turns/weeks/2026-11-23/sheet')
    const leaves = sheet.html.querySelector('.leaves')
    expect([leaves?.getAttribute('lang'), leaves?.getAttribute('dir')]).toEqual(['en', 'ltr'])
    await choose(hila, { language: 'en', digits: '' })
  })
})

describe('the language of the group', () => {
  it('is chosen from a day on; board and pages follow from then, and whoever chose their own keeps it', async () => {
    const book = await openValley()
    const amaru = await book.signIn('amaru')
    await choose(await book.signIn('hila'), { language: 'en', digits: '' })
    const late = await amaru.fill('/people/settle/group-language', { language: 'sw', fromOn: '2026-11-24' })
    expect(late.words).toContain('Choose today or a later day.')
    const coming = await amaru.fill('/people/settle/group-language', { language: 'sw', fromOn: '2026-11-26' })
    expect(coming.words).toContain('From 26 Nov 2026 on, the group’s papers and its board are in another language.')
    const seen = async () => {
      const [chair, hila, dovi] = [await book.signIn('amaru'), await book.signIn('hila'), await book.signIn('dovi')]
      const leaves = (await chair.open('/turns/weeks/2026-11-23/sheet')).html.querySelector('.leaves')
      return [leaves?.getAttribute('lang'), await languageOf(dovi, '/'), await languageOf(hila, '/')]
    }
    expect(await seen()).toEqual(['en', 'en ltr', 'en ltr'])
    book.setNow('2026-11-26T10:00:00Z')
    expect(await seen()).toEqual(['sw', 'sw ltr', 'en ltr'])
    const again = await book.signIn('amaru')
    await again.fill('/people/settle/group-language', { language: 'en', digits: 'deva' })
    expect((await seen())[0]).toBe('en-u-nu-deva')
  })
})

describe('the wish of a browser', () => {
  // RFC 9110, 12.5.4, has the first; RFC 4647, 3.4, that a range is shortened from its end until it fits.
  it.each([
    ['da, en-gb;q=0.8, en;q=0.7', ['en', 'ar'], 'en'],
    ['zh-Hant-CN-x-private1, pt-BR;q=0.5', ['en', 'pt'], 'pt'],
    ['en;q=0.2, sw-KE', ['en', 'sw'], 'sw'],
    ['ar;q=0, en;q=0.1', ['ar', 'en'], 'en'],
    ['fr, *', ['en'], null],
    [undefined, ['en'], null],
  ])('%s', (header, spoken, found) => {
    expect(wishedLanguage(header, spoken)).toBe(found)
  })
})
