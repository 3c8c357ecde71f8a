import { text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const DeviceForm = defineForm('people.device', { name: text({ max: 40 }) })
