import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { dropKept, keptOf } from './kept-store.ts'

/** What one had typed when the sign-in ran out: looked at, sent after all, or let go. Nobody else ever sees it. */
export function addKeptPages({ get, post }: Pages): void {
  get('/people/kept', 'people.see', showKept)
  post('/people/kept/:id/end', 'people.see', dropOne)
}

async function showKept(desk: Desk) {
  const kept = await keptOf(desk.db, desk.person.id)
  return page(desk, 'people/session/kept', {
    title: 'people.kept.title',
    kept: kept.map((one) => ({
      ...one,
      shown: one.fields.filter(([name, value]) => !name.startsWith('_') && value !== ''),
    })),
  })
}

async function dropOne(desk: Desk<'id'>) {
  await dropKept(desk.db, { id: desk.params.id, personId: desk.person.id })
  return desk.reply.redirect('/people/kept', 303)
}
