import { cropPlans } from '../../crops/plan/store.ts'
import { listDecisions } from '../../people/decision/store.ts'
import { allRoles, listPersons } from '../../people/person/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { everyRequest } from '../../rotation/request/store.ts'
import { sharingRules } from '../../rotation/rule/store.ts'
import { listOutlets } from '../../works/pump/store.ts'
import type { PrintedBook } from './printed-books.ts'

/** Names and offices; where somebody can be called stays with those who call. */
const people: PrintedBook = {
  name: 'people',
  title: 'paper.print.people',
  tables: ['person', 'personRole'],
  heads: ['people.person.number', 'people.person.name', 'people.person.roles'],
  rows: async (db, { locale }, { toOn }) => {
    const roles = await allRoles(db, toOn)
    return (await listPersons(db)).map(({ id, number, name }) => {
      const own = (roles.get(id) ?? []).map((role) => locale.t(`people.person.roles.${role}`))
      return [number, name, own.join(', ')]
    })
  },
}

/** The minutes without what only officers read. */
const decisions: PrintedBook = {
  name: 'decisions',
  title: 'decision.list-title',
  tables: ['decision'],
  heads: ['number', 'metOn', 'body', 'words', 'present', 'votesFor', 'votesAgainst', 'abstained'].map(
    (key) => `decision.${key}`,
  ),
  rows: async (db, { locale, format }) =>
    (await listDecisions(db))
      .toReversed()
      .map(({ number, metOn, body, words, present, ...votes }) => [
        ...[number, format.date(metOn), locale.t(`decision.body.${body}`), words, present],
        ...[votes.votesFor, votes.votesAgainst, votes.abstained],
      ]),
}

const plots: PrintedBook = {
  name: 'plots',
  title: 'paper.print.plots',
  tables: ['plot', 'plotDetail', 'plotOutlet', 'plotHolder'],
  heads: ['number', 'name', 'holderIds', 'area', 'soil', 'method', 'shares', 'outletIds'].map(
    (key) => `people.plot.${key}`,
  ),
  rows: async (db, { locale, format }, { toOn }) => {
    const outlets = new Map((await listOutlets(db, toOn)).map(({ id, number }) => [id, number]))
    return (await listPlots(db, toOn)).map((plot) => [
      ...[plot.number, plot.name, plot.holders.map(({ number, name }) => `${number} ${name}`).join(', ')],
      plot.isAreaKnown ? format.whole(plot.areaM2) : locale.t('people.plot.area-unknown'),
      locale.t(`people.plot.soil.${plot.soil}`),
      ...[locale.t(`people.plot.method.${plot.method}`), plot.shares],
      plot.outletIds.map((id) => outlets.get(id)).join(', '),
    ])
  },
}

const plans: PrintedBook = {
  name: 'plans',
  title: 'paper.print.plans',
  tables: ['cropPlan'],
  heads: ['paper.setup.crops.plot', 'paper.setup.crops.crop', 'paper.print.area', 'paper.setup.crops.sown'],
  rows: async (db, { locale, format }, { toOn }) => {
    const numbers = new Map((await listPlots(db, toOn)).map(({ id, number }) => [id, number]))
    return (await cropPlans(db)).map(({ plotId, cropKey, crop, areaM2, sownOn }) => {
      const key = `crops.crop.${cropKey}`
      return [
        numbers.get(plotId) ?? '',
        locale.has(key) ? locale.t(key) : (crop?.name ?? cropKey),
        format.whole(areaM2),
        format.date(sownOn),
      ]
    })
  },
}

/** Every version of the rule by which water is shared: who has a claim, and what counts how much. */
const rules: PrintedBook = {
  name: 'rules',
  title: 'paper.print.rules',
  tables: ['sharingRule', 'ruleMix'],
  heads: ['from', 'admission', 'equal', 'area', 'shares', 'persons', 'need', 'spare'].map(
    (key) => `paper.print.rule.${key}`,
  ),
  rows: async (db, { locale, format }) =>
    (await sharingRules(db)).map((rule) => [
      ...[format.date(rule.fromOn), locale.t(`paper.print.rule.admission.${rule.admission}`)],
      ...[rule.equalWeight, rule.areaWeight, rule.shareWeight, rule.personsWeight, rule.needWeight],
      format.percent(rule.sparePart),
    ]),
}

/** Whoever asked for water, in the order of asking. */
const requests: PrintedBook = {
  name: 'requests',
  title: 'paper.print.requests',
  tables: ['waterRequest', 'standingRequest'],
  heads: [
    'paper.print.asked',
    'paper.setup.crops.plot',
    'paper.print.week',
    'paper.print.volume',
    'paper.print.writer',
  ],
  rows: async (db, { format, locale }, { toOn }) => {
    const numbers = new Map((await listPlots(db, toOn)).map(({ id, number }) => [id, number]))
    return (await everyRequest(db)).map(({ plotId, weekStartOn, volumeM3, happenedAt, writer }) => [
      ...[format.instant(happenedAt), numbers.get(plotId) ?? ''],
      weekStartOn ? format.date(weekStartOn) : locale.t('paper.print.every-week'),
      ...[volumeM3 === null ? locale.t('paper.print.need') : format.one(volumeM3), writer],
    ])
  },
}

export const PRINTED_PEOPLE: readonly PrintedBook[] = [people, decisions, plots, plans, rules, requests]
