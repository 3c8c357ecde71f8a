import { findPerson } from '../../people/person/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import type { Working, WorkingLine } from '../../web/pages/working.ts'
import { listTariffs } from '../tariff/store.ts'
import { lineWords } from '../tariff/words.ts'
import { type PostedFee, partOf } from './store.ts'

/** How a charge by month or season comes about: who, which class, the tariff of its day, and the part of a shared sum. */
export async function feeWorking(desk: Desk, fee: PostedFee, back: string): Promise<Working> {
  const { locale, format } = desk
  const { inRow, money } = moneyWords(desk)
  const { line, every, payerClass, priceMinor } = fee
  const person = found(await findPerson(desk.db, fee.personId))
  const tariff = found((await listTariffs(desk.db)).find(({ id }) => id === line.tariffId))
  const values = { what: lineWords(desk, line), date: format.date(line.on) }
  const isFlat = line.kind === 'flat'
  const price = locale.t(`tariffs.part.${line.kind}`, {
    price: inRow(priceMinor),
    every: locale.t(`fixed-fee.every.${every}`),
  })
  return {
    title: 'fixed-fee.fixed.working-title',
    titleValues: { what: locale.t(`fixed-fee.fixed.${every}`, values), name: person.name },
    result: locale.t('fixed-fee.fixed.result', { amount: money(line.amountMinor), name: person.name }),
    isMoney: true,
    lines: [
      { label: locale.t('fixed-fee.fixed.who'), value: `${person.number} ${person.name}`, date: line.on },
      { label: locale.t('fixed-fee.fixed.class'), value: locale.t(`tariffs.class.${payerClass ?? 'everyone'}`) },
      {
        label: locale.t('fixed-fee.fixed.price'),
        value: price,
        date: tariff.fromOn,
        href: `/money/names/price/${tariff.id}`,
      },
      ...(await plotLines(desk, fee)),
      ...(isFlat ? [] : togetherLines(desk, fee)),
    ],
    equation: locale.t(isFlat ? 'fixed-fee.fixed.equation-flat' : 'fixed-fee.fixed.equation-shared'),
    source: locale.t(isFlat ? 'fees.working.source' : 'fixed-fee.fixed.source-shared'),
    back,
  }
}

/** The plots of the person on the day on which the fee fell due, each with what counts of it: of a plot held together, the written part. */
async function plotLines(desk: Desk, { personId, line }: PostedFee): Promise<WorkingLine[]> {
  const { locale, format } = desk
  const plots = (await listPlots(desk.db, line.on)).map((plot) => ({ ...plot, part: partOf(plot, personId) }))
  return plots
    .filter(({ part }) => part > 0)
    .map(({ id, number, name, shares, areaM2, isAreaKnown, part }) => ({
      label: locale.t('fees.charges.plot', { number, name }),
      value: locale.t('fixed-fee.fixed.plot', {
        count: shares * part,
        shares: format.toLitre(shares * part),
        area: isAreaKnown ? format.whole(areaM2 * part) : '–',
      }),
      ...(part < 1 && { source: locale.t('fixed-fee.fixed.plot-part', { part: format.percent(part) }) }),
      href: `/people/plots/${id}`,
    }))
}

/** Price times all shares together, and which part of it this is. */
function togetherLines(desk: Desk, { line, priceMinor, together }: PostedFee): WorkingLine[] {
  const { locale, format } = desk
  const { inRow } = moneyWords(desk)
  const unit = { unit: line.unit, count: together.quantity, quantity: format.toLitre(together.quantity) }
  return [
    {
      label: locale.t('fixed-fee.fixed.together', unit),
      value: inRow(together.amountMinor),
      source: locale.t('fixed-fee.fixed.together-words', { price: inRow(priceMinor), quantity: unit.quantity }),
    },
    {
      label: locale.t('fixed-fee.fixed.part', {
        unit: line.unit,
        count: line.quantity,
        quantity: format.toLitre(line.quantity),
      }),
      value: inRow(line.amountMinor),
      source: locale.t('fixed-fee.fixed.part-words', {
        price: inRow(priceMinor),
        quantity: format.toLitre(line.quantity),
      }),
    },
  ]
}
