import { write } from '../../book/pen.ts'
import { emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import { giveCookie } from '../../web/pages/cookies.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { namesShown } from '../../web/pages/names.ts'
import { page } from '../../web/pages/page.ts'
import { DeviceForm } from './forms.ts'
import { endDevice, listDevices, newDeviceKey, registerDevice } from './store.ts'

const DAYS_KEPT = 400

/** Devices of the group on which people sign in by mark and code: registered with two names, ended by one. */
export function addDevicePages({ get, post }: Pages): void {
  get('/people/devices', 'device.register', showDevices)
  get('/people/settle/device', 'device.register', (desk) => showForm(desk, emptyForm()))
  post('/people/settle/device', 'device.register', writeDevice)
  post('/people/devices/:id/end', 'device.register', writeEnd)
}

async function showDevices(desk: Desk) {
  const devices = await listDevices(desk.db)
  return page(desk, 'people/device/list', {
    title: 'people.device.list-title',
    devices: await Promise.all(devices.map(async (one) => ({ ...one, names: await namesShown(desk, one.id) }))),
  })
}

async function writeDevice(desk: Desk) {
  const form = readForm(DeviceForm, desk.body)
  if (!form.ok) return showForm(desk, form)
  const key = newDeviceKey()
  giveCookie(desk.reply, 'device', key, DAYS_KEPT)
  return write(
    desk,
    (pen) => registerDevice(pen, { name: form.data.name, key }),
    () => '/people/devices',
  )
}

async function writeEnd(desk: Desk<'id'>) {
  const device = (await listDevices(desk.db)).find(({ id }) => id === desk.params.id)
  if (!device) throw new PageError(404, 'error.page-404')
  if (device.endedBy) throw new PageError(409, 'error.page-409')
  return write(
    desk,
    (pen) => endDevice(pen, device.id),
    () => '/people/devices',
  )
}

function showForm(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'people.device.title',
    form: DeviceForm,
    filled,
    action: '/people/settle/device',
    intro: ['people.device.intro'],
    back: '/people/devices',
  })
}
