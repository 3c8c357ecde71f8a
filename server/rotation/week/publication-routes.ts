import { sum } from '../../../domain/sum.ts'
import { approve } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { choicesOf, chooseWeek } from '../published/chosen-store.ts'
import { findPublishedWeek, publicationsOf } from '../published/store.ts'
import { takenBackOf } from '../published/taken-back-store.ts'

/** A week that two devices published while they were apart: both are kept, and two names choose one. */
export function addPublicationPages({ get, post }: Pages): void {
  get('/turns/weeks/:start/twice', 'turns.see', showPublications)
  post('/turns/weeks/:start/twice/:id', 'week.publish', writeChoice)
  post('/turns/names/choice/:start/:id', 'week.publish', writeApproval)
}

async function showPublications(desk: Desk<'start'>) {
  const weekStartOn = desk.params.start
  const publications = await publicationsOf(desk.db, weekStartOn)
  found(publications[0])
  const inForce = await findPublishedWeek(desk.db, weekStartOn)
  const takenBack = await takenBackOf(desk.db, weekStartOn)
  const choices = await choicesOf(desk.db, weekStartOn)
  return page(desk, 'rotation/week/publish/publications', {
    title: 'rotation.publications-title',
    titleValues: { on: desk.format.date(weekStartOn) },
    weekStartOn,
    standing: publications.length - takenBack.length,
    isChosen: choices.some(({ secondName }) => secondName),
    publications: publications.map(({ id, publishedAt, publishedBy, results }) => ({
      id,
      publishedAt,
      publishedBy,
      turns: results.turns.length,
      volumeM3: sum(results.turns, ({ volumeM3 }) => volumeM3),
      isInForce: id === inForce?.id,
      takenBack: takenBack.find((one) => one.publishedId === id) ?? null,
      choice: choices.find((one) => one.publishedId === id && !one.secondName) ?? null,
    })),
  })
}

async function writeChoice(desk: Desk<'start' | 'id'>) {
  const { start: weekStartOn, id } = desk.params
  const takenBack = new Set((await takenBackOf(desk.db, weekStartOn)).map(({ publishedId }) => publishedId))
  const publications = (await publicationsOf(desk.db, weekStartOn)).filter((one) => !takenBack.has(one.id))
  found(publications.length > 1 ? publications.find((one) => one.id === id) : undefined)
  return write(
    desk,
    (pen) => chooseWeek(pen, { weekStartOn, publishedId: id }),
    () => `/turns/weeks/${weekStartOn}/twice`,
  )
}

async function writeApproval(desk: Desk<'start' | 'id'>) {
  const { start: weekStartOn, id } = desk.params
  found((await choicesOf(desk.db, weekStartOn)).find((one) => one.id === id))
  return write(
    desk,
    (pen) => approve(pen, id),
    () => `/turns/weeks/${weekStartOn}/twice`,
  )
}
