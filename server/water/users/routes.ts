import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm, type Typed, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { listWeirs } from '../weir/store.ts'
import { addCautionPages } from './caution-routes.ts'
import { SettingForm, UsersForm } from './forms.ts'
import { inputOfUsers, needOf, usersOfInput } from './input.ts'
import { setWaterSetting, setWaterUsers, USER_KINDS, waterSettingOn, waterUsersOn } from './store.ts'

/** Who drinks from which weir, and until when the sand must carry them. */
export function addUserPages({ get, post }: Pages): void {
  get('/water/kept/count', 'water.describe', newUsers)
  post('/water/kept/count', 'water.describe', writeUsers)
  get('/water/settle/late-rain', 'water.describe', newSetting)
  post('/water/settle/late-rain', 'water.describe', writeSetting)
  addCautionPages({ get, post })
}

async function newUsers(desk: Desk) {
  const weirs = await listWeirs(desk.db)
  const weirId = desk.query.weirId ?? (weirs.length === 1 ? weirs[0]!.id : '')
  const last = (await waterUsersOn(desk.db, desk.today)).get(weirId)
  return showUsers(desk, emptyForm({ weirId, ...inputOfUsers(last), fromOn: desk.today }))
}

async function writeUsers(desk: Desk) {
  const form = readForm(UsersForm, desk.body)
  if (!form.ok) return showUsers(desk, form)
  const { weirId, fromOn } = form.data
  if (!(await listWeirs(desk.db)).some((weir) => weir.id === weirId)) {
    return showUsers(desk, withError(form, 'weirId', 'error.choose'))
  }
  return write(
    desk,
    (pen) => setWaterUsers(pen, { weirId, fromOn, users: usersOfInput(form.data) }),
    () => '/water/kept',
  )
}

async function newSetting(desk: Desk) {
  const last = await waterSettingOn(desk.db, desk.today)
  const typed: Typed = last ? { lateRainOn: last.lateRainOn, wetRain: String(last.wetRainMm) } : {}
  return showSetting(desk, emptyForm({ ...typed, fromOn: desk.today }))
}

async function writeSetting(desk: Desk) {
  const form = readForm(SettingForm, desk.body)
  if (!form.ok) return showSetting(desk, form)
  const { lateRainOn, wetRain, fromOn } = form.data
  if (lateRainOn <= fromOn) {
    return showSetting(desk, withError(form, 'lateRainOn', 'water.setting.late-rain-past'))
  }
  return write(
    desk,
    (pen) => setWaterSetting(pen, { fromOn, lateRainOn, wetRainMm: wetRain }),
    () => '/water/kept',
  )
}

async function showUsers(desk: Desk, filled: Filled) {
  if (Object.keys(filled.errors).length > 0) desk.reply.code(422)
  const weirs = await listWeirs(desk.db)
  return page(desk, 'water/users/form', {
    title: 'water.users.title',
    form: UsersForm,
    filled,
    action: '/water/kept/count',
    submit: 'layout.save',
    options: { weirId: weirs.map(({ id, number, name }) => ({ value: id, label: `${number} ${name}` })) },
    needs: USER_KINDS.map(needOf),
    cautions: ['water.caution-untreated', 'works.caution-chlorine'],
  })
}

function showSetting(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'water.setting.title',
    form: SettingForm,
    filled,
    action: '/water/settle/late-rain',
    intro: ['water.setting.intro'],
    back: '/water/kept',
  })
}
