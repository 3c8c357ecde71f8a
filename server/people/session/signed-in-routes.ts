import { readCookie } from '../../web/pages/cookies.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { openAndFolded } from '../../web/pages/long-list.ts'
import { page } from '../../web/pages/page.ts'
import { lastTries } from './door-store.ts'
import { endOneOf, endOtherSessions, sessionsOf } from './store.ts'

/** Where one is signed in, with what was tried at the door under one's name; the auditor sees what was refused to anybody. */
export function addSignedInPages({ get, post }: Pages): void {
  get('/people/sign-ins', 'people.see', showSignIns)
  post('/people/sign-ins/:id/end', 'people.see', endOne)
  post('/people/sign-ins/end', 'people.see', endAll)
}

async function showSignIns(desk: Desk) {
  const { db, person, request, may } = desk
  return page(desk, 'people/session/sign-ins', {
    title: 'people.sign-ins.title',
    sessions: await sessionsOf(db, { personId: person.id, key: readCookie(request, 'session') ?? '', at: desk.at }),
    own: lastFirst(await lastTries(db, person.id)),
    all: may('door.see') ? lastFirst(await lastTries(db, null)) : null,
  })
}

/** As they come, the last ones open. */
function lastFirst<T>(tries: readonly T[]) {
  return openAndFolded(tries, () => false)
}

async function endOne(desk: Desk<'id'>) {
  await endOneOf(desk.db, { personId: desk.person.id, id: desk.params.id })
  return desk.reply.redirect('/people/sign-ins', 303)
}

async function endAll(desk: Desk) {
  await endOtherSessions(desk.db, { personId: desk.person.id, key: readCookie(desk.request, 'session') ?? '' })
  return desk.reply.redirect('/people/sign-ins', 303)
}
