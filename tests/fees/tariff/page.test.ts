import { describe, expect, it } from 'vitest'
import { answersOf } from '../../support/visitor.ts'
import { moneyBook, told } from '../book.ts'

const FROM = '2026-06-01'

describe('a tariff', () => {
  it('is not in force until another person has put a name under it', async () => {
    const { ada, deliver, signedIn } = await moneyBook()
    const tomo = await signedIn('Tomo')
    await deliver()
    const written = await tomo.fill('/money/price/new', { fromOn: FROM, perM3: '50' })
    expect(told(written)).toContain('not in force: waits for a second name')
    expect(told(written)).toContain('the other name must be another person')
    expect(written.html.querySelector('form[action^="/money/names/"]')).toBeNull()
    expect(told(await tomo.open('/money/charges'))).toContain('Nothing waits to be charged')
    const agreed = await ada.fill(written.path, {}, { action: written.path })
    expect(told(agreed)).toContain('in force')
    const history = told(await tomo.open('/money/price'))
    expect(history).toMatch(/1 Jun 2026 50.00 free in force Tomo Ada/)
    expect(told(await tomo.open('/money/charges'))).toContain('KES 200.00')
  })

  it('is not approved by its own writer, even when the form is sent by hand', async () => {
    const { db, signedIn } = await moneyBook()
    const tomo = await signedIn('Tomo')
    const written = await tomo.fill('/money/price/new', { fromOn: FROM, perM3: '50' })
    const csrf = (await tomo.open('/money/price/new')).html.querySelector('[name=_csrf]')!.getAttribute('value')
    const answer = await tomo.agent.post(written.path).type('form').send({ _csrf: csrf, _form: 'own-name' })
    expect(answer.status).toBe(422)
    expect(await db.selectFrom('approval').selectAll().execute()).toEqual([])
  })

  it.each([
    ['-5', 'without a minus sign'],
    ['fifty', 'is not an amount of money'],
    ['0.505', 'has too many decimals: this currency has 2'],
    ['', 'Please fill this in'],
  ])('says beside the price what to do about “%s”', async (typed, words) => {
    const { db, signedIn } = await moneyBook()
    const page = await (await signedIn('Tomo')).fill('/money/price/new', { fromOn: FROM, perM3: typed })
    expect(page.status).toBe(422)
    expect(page.html.querySelector('#perM3-error')?.text).toContain(words)
    expect(page.html.querySelector('#perM3')?.getAttribute('value')).toBe(typed)
    expect(await db.selectFrom('tariff').selectAll().execute()).toEqual([])
  })

  it('takes whole amounts only where the currency has no smaller coin', async () => {
    const { signedIn } = await moneyBook('UGX')
    const tomo = await signedIn('Tomo')
    const refused = await tomo.fill('/money/price/new', { fromOn: FROM, perM3: '50.5' })
    expect(refused.html.querySelector('#perM3-error')?.text).toContain('this currency has none')
    expect(told(await tomo.fill('/money/price/new', { fromOn: FROM, perM3: '1500' }))).toContain('UGX 1,500')
  })

  it('raised in the middle of a month leaves old charges alone and prices later deliveries', async () => {
    const { agreedTariff, deliver, setNow, signedIn, ids } = await moneyBook()
    await agreedTariff(FROM, 5000)
    await deliver({ onDate: '2026-06-02' })
    const tomo = await signedIn('Tomo')
    await tomo.fill('/money/charges', {}, { action: '/money/charges' })
    await agreedTariff('2026-06-15', 8000)
    setNow('2026-06-20T05:00:00Z')
    await deliver({ onDate: '2026-06-14', volumeM3: 1 })
    await deliver({ onDate: '2026-06-16', volumeM3: 1 })
    const tomoLater = await signedIn('Tomo')
    const preview = told(await tomoLater.open('/money/charges'))
    expect(preview).toContain('4 Bela 130.00')
    expect(preview).not.toContain('2 Jun 2026')
    await tomoLater.fill('/money/charges', {}, { action: '/money/charges' })
    expect(told(await tomoLater.open(`/money/members/${ids.Bela}`))).toMatch(/KES 330.00 to pay/)
  })

  it('opens with all that is in force, and shows whoever approves old beside new, part by part', async () => {
    const { ada, signedIn } = await moneyBook()
    const tomo = await signedIn('Tomo')
    const parts = {
      perM3: '50',
      firstUpToM3: '5',
      secondPerM3: '80',
      perPumpHour: '20',
      perTurn: '10',
      perNoShow: '30',
    }
    const fees = {
      perShare: '7',
      perShareEvery: 'month',
      flat: '9',
      flatEvery: 'season',
      tenantPerM3: '60',
      schoolPerM3: '0',
    }
    const first = await tomo.fill('/money/price/new', { fromOn: FROM, ...parts, ...fees })
    await ada.fill(first.path, {}, { action: first.path })
    const form = await tomo.open('/money/price/new')
    for (const [name, value] of Object.entries({ ...parts, ...fees })) {
      const field = form.html.querySelector(`[name=${name}]`)!
      const chosen = answersOf(form, name).find(({ holds }) => holds)?.value
      const typed = chosen ?? field.getAttribute('value')
      expect(Number.isNaN(Number(value)) ? typed : Number(typed), name).toBe(
        Number.isNaN(Number(value)) ? value : Number(value),
      )
    }
    // Only the price is touched; every fee goes on.
    const second = await tomo.send(form, { fromOn: '2026-07-01', perM3: '55', perTurn: '' })
    const page = told(await ada.open(second.path))
    expect(page).toMatch(/by the volume 50.00 for 1 m³ up to 5 m³ in a month; .{10,60} 55.00 for 1 m³ up to 5/)
    expect(page).toMatch(/by the turn 10.00 for a turn falls away/)
    expect(page).toMatch(/Everyone: flat 9.00 flat every season 9.00 flat every season/)
    expect(page).toMatch(/The school: by the volume 0.00 for 1 m³ 0.00 for 1 m³/)
  })

  it('cannot begin on days that are already charged', async () => {
    const { agreedTariff, deliver, signedIn } = await moneyBook()
    await agreedTariff(FROM, 5000)
    await deliver({ onDate: '2026-06-03' })
    const tomo = await signedIn('Tomo')
    await tomo.fill('/money/charges', {}, { action: '/money/charges' })
    const page = await tomo.fill('/money/price/new', { fromOn: '2026-06-03', perM3: '80' })
    expect(page.html.querySelector('#fromOn-error')?.text).toContain('up to 3 Jun 2026 are already charged')
    expect(page.html.querySelector('#perM3')?.getAttribute('value')).toBe('80')
  })

  it('is set by the treasurer only', async () => {
    const { ada, signedIn } = await moneyBook()
    expect((await ada.open('/money/price/new')).status).toBe(403)
    expect((await (await signedIn('Bela')).open('/money/price')).status).toBe(200)
  })
})
