import { expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'
import { optionValue } from '../../support/visitor.ts'

const POINT =
  'The old meter ended at 3,210.34 m³ and the new one began at 3,222.4 m³. It holds, as Dovi Marrok wrote it'
const NAMED = 'form[action^="/book/names/"]'

/** Between two draws the attendant wrote that the meter was changed, with 12.06 m³ between the last closing and the new first reading. */
async function valleyWithNewMeter() {
  const book = await openValley()
  book.setNow('2026-11-25T17:30:00Z')
  const dovi = await book.signIn('dovi')
  const form = await dovi.open('/log/meter')
  const pumpId = optionValue(form, 'pumpId', '1')
  await dovi.send(form, { pumpId, oldLast: '3210.34', newFirst: '3222.4', digits: '5', atTime: '17:00' })
  return { ...book, dovi }
}

it('a new meter holds at once for the next reading, and stays an open point to whoever wrote it', async () => {
  const { dovi } = await valleyWithNewMeter()
  const next = await dovi.fill('/log/turns/2026-11-23-30-d2x29u', { opening: '3222.4', closing: '3223' })
  expect(next.words).not.toContain('m³ between them')
  const own = await dovi.open('/log/check')
  expect(own.words).toContain('1 open point, newest first')
  expect(own.words).toMatch(/25 Nov 2026 ?Pump 1 ▲/)
  expect(own.words).toContain(POINT)
  expect(own.html.querySelector(NAMED)).toBeNull()
  expect((await dovi.open('/')).words).not.toContain('a new meter at a pump, written by')
})

it('is asked of another officer on the first page, and is open no more with that name', async () => {
  const { dovi, signIn } = await valleyWithNewMeter()
  const elu = await signIn('elu')
  expect((await elu.open('/')).words).toContain('a new meter at a pump, written by Dovi Marrok')
  const check = await elu.open('/log/check')
  const named = await elu.send(check, {}, check.html.querySelector(NAMED)!.getAttribute('action')!)
  expect(named.words).toContain('Nothing is open')
  expect((await dovi.open('/log/check')).words).not.toContain(POINT)
  expect((await elu.open('/')).words).not.toContain('a new meter at a pump, written by')
})

it('is open no more once it is struck out, and anew once its writer wrote other readings', async () => {
  const { dovi } = await valleyWithNewMeter()
  const page = (await dovi.open('/log/check')).html.querySelector('a[href^="/log/lines/new-meter/"]')!
  await dovi.fill(`${page.getAttribute('href')}/correct`, { newFirst: '3222.5', reason: 'read again' })
  const anew = await dovi.open('/log/check')
  expect([anew.words.includes(POINT), anew.words.includes('began at 3,222.5 m³')]).toEqual([false, true])
  expect(anew.words).toContain('1 open point')
  const line = anew.html.querySelector('a[href^="/log/lines/new-meter/"]')!.getAttribute('href')
  await dovi.fill(`${line}/correct`, { strike: 'yes', reason: 'no meter was changed' })
  expect((await dovi.open('/log/check')).words).toContain('Nothing is open')
})

it('replaced within a draw, it is an odd entry of that draw until another officer settles it', async () => {
  const { signIn, setNow } = await openValley()
  setNow('2026-11-25T17:30:00Z')
  const dovi = await signIn('dovi')
  const readings = { opening: '3210.34', oldLast: '3210.8', newFirst: '3222.2', closing: '3222.4', newDigits: '5' }
  const line = await dovi.fill('/log/turns/2026-11-23-28-d2x29u?method=replaced', readings)
  const point = 'the old one ended at 3,210.8 m³, the new one began at 3,222.2 m³.'
  expect((await dovi.open('/log/check')).words).toContain(point)
  const settle = `${line.path.replace('lines/drawn', 'settle/odd')}/meter-changed`
  expect((await dovi.fill(settle, { words: 'it stood still' })).status).toBe(422)
  const amaru = await signIn('amaru')
  const settled = await amaru.fill(settle, { words: 'I read both' })
  expect(settled.words.split('Settled this season')[1]).toMatch(/old one ended at 3,210\.8 m³.*I read both \(Amaru/)
})
