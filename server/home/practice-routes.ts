import type { Desk, Pages } from '../web/pages/desk.ts'
import { page } from '../web/pages/page.ts'
import { IS_PRACTICE } from '../web/practising.ts'

/** The example valley beside the own book, to practise on at any time. */
export function addPracticePages({ get, post }: Pages): void {
  get('/practice', 'people.see', showPractice)
  post('/practice', 'book.export', openPractice, { mostInFiveMinutes: 20 })
  post('/practice?as=close', 'book.export', closePractice, { mostInFiveMinutes: 20 })
}

async function showPractice(desk: Desk) {
  const { practice } = desk.parts
  const state = IS_PRACTICE ? 'here' : (practice?.state() ?? 'nowhere')
  const port = practice?.port() ?? null
  // A proxy with TLS hands on the book alone: beside it the practice is open on the machine itself.
  const { isBehindTls } = desk.request.server
  const host = isBehindTls ? '127.0.0.1' : desk.request.hostname
  return page(desk, 'home/practice', {
    title: 'home.practice',
    state,
    address: port === null ? null : `http://${host}:${port}/sign-in?as=example`,
    isHereOnly: isBehindTls,
  })
}

function openPractice({ parts, reply }: Desk) {
  parts.practice?.open()
  return reply.redirect('/practice', 303)
}

function closePractice({ parts, reply }: Desk) {
  parts.practice?.close()
  return reply.redirect('/practice', 303)
}
