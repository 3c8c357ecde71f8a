import { expect, it } from 'vitest'
import { excuse } from '../../rotation/outcome/excuse.ts'
import { openValley } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

/** The turns of Dovi's plot 32 at outlet 8 (12:30 to 15:50) and of Elu's plot 5 at outlet 5, both on 25 November 2026. */
const OWN_TURN = '2026-11-23-28-d2x29u'
const TURN_OF_5 = '2026-11-23-30-d2x29u'
const CHARGED = 'is charged for this water, who neither holds plot 5 nor lives with whoever does'
const BESIDE = 'Water for others or for nobody’s account, written by a household that holds plot 32'

async function evening() {
  const book = await openValley()
  book.setNow('2026-11-25T17:30:00Z')
  return { ...book, dovi: await book.signIn('dovi') }
}

async function drawnOf5(dovi: Visitor, taker: string) {
  const form = await dovi.open(`/log/turns/${TURN_OF_5}`)
  return dovi.send(form, { opening: '3210.34', closing: '3212', takerId: optionValue(form, 'takerId', taker) })
}

async function free(dovi: Visitor, outlet: string, more: Record<string, string>, use = 'flushing') {
  const form = await dovi.open(`/log/water?use=${use}&method=hours`)
  return dovi.send(form, { place: optionValue(form, 'place', outlet), ...more })
}

it('water on the account of somebody who has nothing to do with the plot is open until another officer asked', async () => {
  const { dovi, signIn } = await evening()
  const line = await drawnOf5(dovi, 'Hila')
  expect(line.words).toContain(`Hila Quarm ${CHARGED}`)
  expect((await dovi.open('/log/check')).words).toContain('You wrote it, so another officer settles it.')
  const settle = `${line.path.replace('lines/drawn', 'settle/odd')}/taker-of-no-plot`
  expect((await dovi.fill(settle, { words: 'she asked for it' })).status).toBe(422)
  const elu = await signIn('elu')
  const settled = await elu.fill(settle, { words: 'Hila took it, I asked her' })
  expect(settled.words.split('Settled this season')[1]).toContain('Hila took it, I asked her')
  await dovi.fill(`${line.path}/correct`, { takerId: '', reason: 'the holder took it' })
  expect((await dovi.open('/log/check')).words).not.toContain(CHARGED)
})

it('nothing is odd where the holder, or somebody of the household, took it', async () => {
  const { dovi } = await evening()
  await drawnOf5(dovi, 'Elu')
  expect((await dovi.open('/log/check')).words).not.toContain(CHARGED)
})

it.each([
  ['in its hours', { startTime: '13:00', endTime: '13:40' }],
  ['to its last minute', { startTime: '15:49', endTime: '16:20' }],
  ['without hours', { hours: '1:00' }],
])('free water at the own outlet is open, %s, whatever it was for', async (_when, hours) => {
  const { dovi } = await evening()
  for (const use of ['flushing', 'other', 'drinking', 'stock'])
    expect((await free(dovi, 'Outlet 8', hours, use)).words, use).toContain(BESIDE)
})

it.each([
  ['after its hours', 'Outlet 8', { startTime: '15:50', endTime: '16:20' }],
  ['before its hours', 'Outlet 8', { startTime: '11:50', endTime: '12:30' }],
  ['at another outlet', 'Outlet 5', { startTime: '13:00', endTime: '13:40' }],
])('and is no matter %s', async (_when, outlet, hours) => {
  const { dovi } = await evening()
  const line = await free(dovi, outlet, hours)
  expect([line.status, line.words.includes(BESIDE)]).toEqual([200, false])
})

it('at the own outlet it is at every hour once it is more than a flush, and open until another officer asked', async () => {
  const { dovi, signIn } = await evening()
  const words = 'Water for nobody’s account, more than a flush, written by a household that holds plot 32'
  const after = { startTime: '16:00', endTime: '17:20' }
  for (const use of ['drinking', 'stock', 'other', 'flushing']) {
    const line = await free(dovi, 'Outlet 8', { ...after, hours: '1:20' }, use)
    expect(line.words, use).toContain(words)
    expect(line.words, use).toContain('You wrote it, so another officer settles it.')
  }
  const flush = await free(dovi, 'Outlet 8', { startTime: '17:21', endTime: '17:33', hours: '0:12' })
  expect([flush.status, flush.words.includes(words)]).toEqual([200, false])
  expect((await free(dovi, 'Outlet 5', after, 'drinking')).words).not.toContain(words)
  expect((await free(await signIn('elu'), 'Outlet 8', after, 'drinking')).words).not.toContain(words)
})

it('nor where another household writes it', async () => {
  const { signIn } = await evening()
  const elu = await signIn('elu')
  expect((await free(elu, 'Outlet 8', { startTime: '14:00', endTime: '14:40' })).words).not.toContain(BESIDE)
})

it('water for somebody else’s plot in the own hours, once they were called off, is open and told to its holder', async () => {
  const { dovi, signIn } = await evening()
  await excuse(await signIn('elu'), OWN_TURN)
  const form = await dovi.open('/log/water?use=irrigation&method=meter')
  const place = optionValue(form, 'place', 'Outlet 8')
  const hours = { startTime: '12:30', endTime: '15:50', opening: '3210.34', closing: '3222.4' }
  const drawn = (plot: string) => dovi.send(form, { ...hours, place, plotId: optionValue(form, 'plotId', plot) })
  expect((await drawn('8 ')).words).toContain(BESIDE)
  expect((await (await signIn('hila')).open('/')).words).toContain('Dovi Marrok wrote water off the list for plot 8')
})

it('and for the own plot it is not', async () => {
  const { dovi } = await evening()
  const form = await dovi.open('/log/water?use=irrigation&method=meter')
  const [place, plotId] = [optionValue(form, 'place', 'Outlet 8'), optionValue(form, 'plotId', '32 ')]
  const line = await dovi.send(form, { place, plotId, opening: '3210.34', closing: '3222.4' })
  expect([line.status, line.words.includes(BESIDE)]).toEqual([200, false])
})
