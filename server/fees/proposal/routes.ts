import { quantileSorted } from 'd3-array'
import { addDays } from '../../../domain/calendar.ts'
import { type FeeLevel, feeProposal } from '../../../domain/fees/proposal.ts'
import { sum } from '../../../domain/sum.ts'
import type { M3 } from '../../../domain/units.ts'
import { deliveredByPlot } from '../../abstractions/draw/store.ts'
import { waterKnownFrom } from '../../crops/need/given-store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { number, optional, whole } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type ReadForm, readForm, withError } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { page } from '../../web/pages/page.ts'
import { periodBooks } from '../reconcile/books.ts'
import { listVouchers } from '../voucher/store.ts'

/** Of the volume that was paid for in the last year, what a dry one may leave. Common practice, no source. */
const CAUTIOUS_PART = 2 / 3
/** So many days before today a year of the book begins. */
const YEAR_DAYS = 364
/** A small, a middle and a large plot: tenth, half and nine tenths of the plots by what they received. */
const EXAMPLES = [
  { name: 'small', part: 0.1 },
  { name: 'middle', part: 0.5 },
  { name: 'large', part: 0.9 },
] as const

function proposalForm(currency: string) {
  const cost = () => money(currency)
  const m3 = () => number({ min: 1, max: 10_000_000 })
  return defineForm('proposal', {
    stipend: cost(),
    spares: cost(),
    repairs: cost(),
    committee: cost(),
    other: cost(),
    pumpPrice: cost(),
    pumpYears: number({ min: 1, max: 60 }, 'years of a pump'),
    panelPrice: optional(cost()),
    panelYears: optional(number({ min: 1, max: 60 }, 'years of a pump')),
    cautiousM3: m3(),
    middleM3: m3(),
    plots: whole({ min: 1, max: 10_000 }, 'plots of a group'),
    flatPercent: number({ min: 0, max: 100 }),
  })
}

/** What a fee must be to keep the pump: from costs, replacement, and the water that is expected to be paid for. */
export function addProposalPages({ get }: Pages): void {
  get('/money/price/reckon', 'voucher.see', showProposal)
}

async function showProposal(desk: Desk) {
  const asked = Object.keys(desk.query).length > 0
  const form = proposalForm(moneyWords(desk).currency)
  const read = withBothOfPanels(readForm(form, desk.query))
  if (asked && !read.ok) desk.reply.code(422)
  const filled = asked ? read : emptyForm(await known(desk))
  return page(desk, 'fees/proposal', {
    title: 'proposal.title',
    form,
    filled: read.ok || asked ? filled : emptyForm(filled.values),
    result: read.ok ? await worked(desk, read.data) : null,
    beganOn: asked ? null : await youngSince(desk),
  })
}

/** A price of panels without their years, or years without a price, would leave them out of the fee without a word. */
function withBothOfPanels(read: ReadForm<ProposalData>): ReadForm<ProposalData> {
  if (!read.ok || (read.data.panelPrice === null) === (read.data.panelYears === null)) return read
  return withError(read, read.data.panelPrice === null ? 'panelPrice' : 'panelYears', 'error.missing')
}

/** The day on which a book begins that is younger than a year: what it knows is less than a year's. */
async function youngSince({ db, today, format }: Desk): Promise<string | null> {
  const began = await waterKnownFrom(db)
  return began === null || began > addDays(today, -YEAR_DAYS) ? format.date(began ?? today) : null
}

/** What the book knows of the last year; whatever it does not know stays empty. */
async function known(desk: Desk): Promise<Record<string, string>> {
  const { today } = desk
  const { typed } = moneyWords(desk)
  const from = addDays(today, -YEAR_DAYS)
  const paid = (await listVouchers(desk.db)).filter(({ payout }) => payout && payout.on >= from)
  const spent = (category: string) =>
    typed(
      sum(
        paid.filter((one) => one.category === category),
        (one) => one.amountMinor,
      ),
    )
  const { volumes, indicators } = await periodBooks(desk.db, { from, to: today, today })
  const paidM3 = Math.round(volumes.chargedM3 * Math.min(1, indicators.collectionRatio ?? 0))
  return {
    stipend: spent('stipend'),
    spares: spent('spares'),
    repairs: spent('repairs'),
    committee: spent('committee'),
    other: spent('other'),
    flatPercent: '50',
    plots: String((await listPlots(desk.db, today)).length || ''),
    middleM3: paidM3 > 0 ? String(paidM3) : '',
    cautiousM3: paidM3 > 1 ? String(Math.round(paidM3 * CAUTIOUS_PART)) : '',
  }
}

async function worked(desk: Desk, data: ProposalData) {
  const { today, format, locale } = desk
  const words = moneyWords(desk)
  const received = [...(await deliveredByPlot(desk.db, { fromOn: addDays(today, -YEAR_DAYS), toOn: today })).values()]
  const sorted = received.toSorted((a, b) => a - b)
  const examples = EXAMPLES.map(({ name, part }) => ({
    name,
    yearlyM3: Math.round(quantileSorted(sorted, part) ?? 0),
  }))
  const { stipend, spares, repairs, committee, other } = data
  const replacements = [{ priceMinor: data.pumpPrice, lifeYears: data.pumpYears }]
  if (data.panelPrice !== null && data.panelYears !== null) {
    replacements.push({ priceMinor: data.panelPrice, lifeYears: data.panelYears })
  }
  const proposal = feeProposal({
    yearlyCostsMinor: { stipend, spares, repairs, committee, other },
    replacements,
    paidVolumeM3: { cautious: data.cautiousM3, middle: data.middleM3 },
    plots: data.plots,
    examples,
    flatFraction: data.flatPercent / 100,
  })
  const level = (one: FeeLevel, m3: M3) => ({
    volume: format.volume(m3),
    perM3: words.money(one.pricePerM3Minor),
    flat: words.money(one.flatPerPlotMinor),
    mixed: locale.t('proposal.mixed-line', {
      flat: words.money(one.mixed.flatPerPlotMinor),
      perM3: words.money(one.mixed.pricePerM3Minor),
    }),
    examples: one.examples.map((example, at) => ({
      name: locale.t(`proposal.${example.name}`, { volume: format.volume(examples[at]!.yearlyM3) }),
      byVolume: words.inRow(example.byVolumeMinor),
      flat: words.inRow(example.flatMinor),
      mixed: words.inRow(example.mixedMinor),
    })),
  })
  const withoutReplacement = Math.ceil((proposal.yearlyCostMinor - proposal.replacementMinor) / data.middleM3)
  return {
    yearly: words.money(proposal.yearlyCostMinor),
    replacement: words.money(proposal.replacementMinor),
    sentence: locale.t('proposal.sentence', {
      middle: words.money(proposal.middle.pricePerM3Minor),
      cautious: words.money(proposal.cautious.pricePerM3Minor),
      without: words.money(withoutReplacement),
    }),
    cautious: level(proposal.cautious, data.cautiousM3),
    middle: level(proposal.middle, data.middleM3),
  }
}

interface ProposalData {
  stipend: number
  spares: number
  repairs: number
  committee: number
  other: number
  pumpPrice: number
  pumpYears: number
  panelPrice: number | null
  panelYears: number | null
  cautiousM3: M3
  middleM3: M3
  plots: number
  flatPercent: number
}
