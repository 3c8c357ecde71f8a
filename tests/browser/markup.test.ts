import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { projectFolder } from '../../server/project-folder.ts'

it('lets every table that may scroll sideways be reached by keyboard', () => {
  const views = join(projectFolder(), 'views')
  const files = readdirSync(views, { recursive: true, encoding: 'utf8' }).filter((file) => file.endsWith('.eta'))
  const boxes = files.flatMap((file) =>
    [...readFileSync(join(views, file), 'utf8').matchAll(/<div class="ruled[^>]*>/g)].map(([box]) => `${file}: ${box}`),
  )
  expect(boxes.length).toBeGreaterThan(40)
  expect(boxes.filter((box) => !box.includes('tabindex="0"'))).toEqual([])
})
