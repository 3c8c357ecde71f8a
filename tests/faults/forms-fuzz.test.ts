import { sql } from 'kysely'
import { beforeAll, describe, expect, it } from 'vitest'
import { verifyBook } from '../../server/book/verify.ts'
import { attacks, tellAttack } from '../attack/times.ts'
import { EVERYTHING, openEveryOffice, readerOfEveryOffice } from '../support/valley.ts'
import { type Body, type FoundForm, formsOn, kindOf, pagesOf, Rascal } from './nasty.ts'

/** Long enough for a busy machine; nothing here is timed. */
const PATIENCE_MS = attacks(600_000)

const NASTY: Body[string][] = [
  ...['', ' ', '\0', 'a\0b', '🜄💧', '<script>alert(1)</script>', `"'><b>&amp;`, '__proto__', 'constructor', 'null'],
  ...['-1', '-0', 'nan', 'infinity', '1e309', '1e999999', '0x10', '9007199254740993', '99999999999999999999', '1,234'],
  ...['0000-00-00', '0000-01-01', '9999-12-31', '2026-02-30', '2026-11-25', '24:00', '99:99', '{}', '[]'],
  ...['x'.repeat(100_000), '%', '%00', '../../etc/passwd', "'; drop table entry; --", '\u202e', '\ud800', '{count}'],
  ...[
    ['a', 'b'],
    ['1', '2'],
    ['', ''],
  ],
]

const NO_WORDS = /\bundefined\b|\bNaN\b|\[object|Infinity/
const ENDS_OWN_SIGN_IN = /^\/people\/sign-ins\//
/** A page of paper with bad rows is answered with these and keeps its good ones. */
const KEEPS_GOOD_ROWS = /^\/paper\/([\w-]+\/type|many\/\w+)$/

let valley: Awaited<ReturnType<typeof openEveryOffice>>
let rascal: Rascal
let forms: FoundForm[]

beforeAll(async () => {
  valley = await openEveryOffice()
  rascal = new Rascal(valley.app)
  await rascal.signIn(EVERYTHING)
  const found = (await pagesOf(await readerOfEveryOffice())).flatMap(({ html }) => formsOn(html))
  forms = [...new Map(found.map((form) => [`${kindOf(form.action)} ${Object.keys(form.willing)}`, form])).values()]
}, PATIENCE_MS)

describe('every form of the book', () => {
  const seq = async () =>
    (await sql<{ last: number }>`select max(seq) as last from entry`.execute(valley.db)).rows[0]!.last

  it('is found', () => {
    expect(forms.length).toBeGreaterThan(80)
  })

  it(
    'answers nonsense with words and writes nothing of what it does not take',
    async () => {
      const faults: string[] = []
      let turn = 0
      const answers: Record<string, number> = {}
      for (const form of Array.from({ length: attacks(1) }, () => forms).flat()) {
        for (const [what, body] of nastyBodies(form, turn++)) {
          const before = await seq()
          const { status, text } = await rascal.post(form.action, body)
          // Whoever ends the own sign-in is outside; what follows is to be tried from inside again.
          if (ENDS_OWN_SIGN_IN.test(form.action)) await rascal.signIn(EVERYTHING)
          if (status === 401) faults.push(`was outside: ${form.action} ${what}`)
          const answer = `answered ${status}`
          answers[answer] = (answers[answer] ?? 0) + 1
          if (status >= 500)
            faults.push(
              `${status} ${form.action} ${what} ${/<main[\s\S]*/
                .exec(text)?.[0]
                .replace(/<[^>]*>|\s+/g, ' ')
                .slice(0, 160)}`,
            )
          if (status !== 303 && (await seq()) !== before && !KEEPS_GOOD_ROWS.test(form.action))
            faults.push(`wrote though it said ${status}: ${form.action} ${what}`)
        }
      }
      tellAttack('hostile forms', { forms: forms.length, ...answers, faults: faults.length })
      expect(faults).toEqual([])
    },
    PATIENCE_MS,
  )

  it(
    'refuses what is no form, half an upload and a list without end, and writes nothing',
    async () => {
      const before = await seq()
      const endless = `date,rain\n${'2026-11-01,1\n'.repeat(100_000)}`
      for (const { action, multipart } of forms) {
        const answers = [await rascal.postRaw(action, '{"_form":{"__proto__":1}}', 'application/json')]
        if (multipart) {
          const type = 'multipart/form-data; boundary=edge'
          answers.push(await rascal.postRaw(action, parts(rascal.standingParts(), 'edge'), type))
          answers.push(await rascal.postRaw(action, parts(rascal.standingParts(), 'edge', endless), type))
          answers.push(await rascal.postRaw(action, parts(rascal.standingParts(), 'other'), type))
          answers.push(await rascal.postRaw(action, 'nothing of the kind', type))
        }
        answers.push(await rascal.postRaw(action, 'words '.repeat(100_000), 'text/plain'))
        for (const { status, text } of answers) {
          expect([400, 403, 409, 413, 415, 422], action).toContain(status)
          expect(text.length, action).toBeLessThan(1_000_000)
        }
      }
      expect(forms.some(({ multipart }) => multipart)).toBe(true)
      expect(await seq()).toBe(before)
    },
    PATIENCE_MS,
  )

  it(
    'leaves a book behind that verifies and whose pages all open',
    async () => {
      expect((await verifyBook(valley.db)).brokenAt).toBeNull()
      const faults: string[] = []
      for (const page of await pagesOf(rascal)) {
        const { path, status, text } = page
        const isSound = status < 500 && !text.includes('<script>alert') && !NO_WORDS.test(text.replace(/<[^>]*>/g, ''))
        if (isSound) continue
        const main = page.html.querySelector('main')
        const words = main?.textContent ?? ''
        const script = main !== null && text.includes('<script>alert')
        if (status >= 500 || NO_WORDS.test(words) || script)
          faults.push(`${path} ${status} ${words.replace(/\s+/g, ' ').slice(0, 160)}`)
      }
      expect(faults).toEqual([])
    },
    PATIENCE_MS,
  )
})

/** Nothing at all, everything nasty at once, and willing answers but for one field. */
function nastyBodies(form: FoundForm, turn: number): [string, Body][] {
  const names = Object.keys(form.willing)
  const at = (index: number) => NASTY[index % NASTY.length]!
  return [
    ['nothing', {}],
    ['all', Object.fromEntries(names.map((name, index) => [name, at(turn + index * 7)]))],
    ...names.map((name, index): [string, Body] => {
      const value = at(turn * 5 + index * 11)
      return [`${name}=${JSON.stringify(value).slice(0, 60)}`, { ...form.willing, [name]: value }]
    }),
  ]
}

/** The parts of an upload, with or without a file. */
function parts(fields: Body, boundary: string, file?: string): string {
  const part = (head: string, value: string) =>
    `--${boundary}\r\ncontent-disposition: form-data; ${head}\r\n\r\n${value}\r\n`
  const typed = Object.entries(fields).map(([name, value]) => part(`name="${name}"`, String(value)))
  const sent = file === undefined ? [] : [part('name="file"; filename="list.csv"\r\ncontent-type: text/csv', file)]
  return [...typed, ...sent, `--${boundary}--\r\n`].join('')
}
