import { cropByKey } from '../../../domain/crops/data/crops.ts'
import { cropClass } from '../../../domain/rotation/rule/classes.ts'
import { daysOfWeek } from '../../../domain/weeks.ts'
import { write } from '../../book/pen.ts'
import { cropPlans, standsInWeek } from '../../crops/plan/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { planClassesOn, setPlanClass } from './class-store.ts'
import { CLASS_CHOICES, ClassForm } from './forms.ts'
import { sharingRuleOn } from './store.ts'

/** In which priority class each crop stands, and why. */
export function addClassPages({ get, post }: Pages): void {
  get('/turns/settle/class', 'rule.set', newClass)
  post('/turns/settle/class', 'rule.set', writeClass)
}

async function newClass(desk: Desk) {
  return show(desk, emptyForm({ planId: desk.query.planId ?? '', fromOn: desk.today }))
}

async function writeClass(desk: Desk) {
  const form = readForm(ClassForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { planId, fromOn } = form.data
  if (!(await standingCrops(desk)).some(({ plan }) => plan.id === planId)) {
    return show(desk, withError(form, 'planId', 'error.choose'))
  }
  if (fromOn < desk.today) return show(desk, withError(form, 'fromOn', 'sharing-rule.crop-class.past'))
  const plotClass = form.data.class === 'usual' ? null : form.data.class
  return write(
    desk,
    (pen) => setPlanClass(pen, { planId, fromOn, plotClass }),
    () => '/turns/rule?open=classes#classes',
  )
}

/** Crops in the ground this week, by plot; a class that begins later is not counted yet. */
export async function standingCrops({ db, today, group }: Pick<Desk, 'db' | 'today' | 'group'>) {
  const declaredOn = (await sharingRuleOn(db, today))?.declaredOn ?? null
  const set = await planClassesOn(db, today)
  const plotOf = new Map((await listPlots(db, today)).map((plot) => [plot.id, plot]))
  const dates = daysOfWeek(today, group)
  return (await cropPlans(db))
    .filter((plan) => standsInWeek(plan, dates))
    .flatMap((plan) => {
      const plot = plotOf.get(plan.plotId)
      const perennial = cropByKey(plan.cropKey)?.perennial ?? false
      const setClass = set.get(plan.id) ?? null
      return plot ? [{ plan, plot, ...cropClass({ setClass, sownOn: plan.sownOn, declaredOn, perennial }) }] : []
    })
    .sort((a, b) => a.plot.number - b.plot.number)
}

async function show(desk: Desk, filled: Filled) {
  const { t, format } = desk
  const crops = (await standingCrops(desk)).map(({ plan, plot }) => ({
    value: plan.id,
    label: t('sharing-rule.crop-class.choice', {
      plot: plot.number,
      crop: t(`crops.crop.${plan.cropKey}`),
      date: format.date(plan.sownOn),
    }),
  }))
  return formPage(desk, {
    title: 'sharing-rule.crop-class.title',
    form: ClassForm,
    filled,
    options: {
      planId: crops,
      class: CLASS_CHOICES.map((each) => ({ value: each, label: t(`sharing-rule.class.${each}`) })),
    },
    action: '/turns/settle/class',
    intro: ['sharing-rule.crop-class.intro'],
    back: '/turns/rule?open=classes#classes',
  })
}
