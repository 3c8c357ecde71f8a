import { mkdirSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { projectFolder } from '../project-folder.ts'
import { makeFolder } from './folder.ts'
import { PLATFORMS } from './platforms.ts'
import { zipped } from './zip.ts'

const project = projectFolder()
const target = process.argv[2] ?? join(project, 'stick')
mkdirSync(target, { recursive: true })
let failed = false
for (const platform of PLATFORMS) {
  try {
    const name = makeFolder(project, target, platform, join(project, 'node_modules/.runtimes'))
    const zip = zipped(join(target, name), name)
    writeFileSync(join(target, `${name}.zip`), zip)
    rmSync(join(target, name), { recursive: true })
    console.log(`${join(target, `${name}.zip`)}: ${Math.round(zip.length / 1e6)} MB`)
  } catch (error) {
    failed = true
    console.error(`${platform.name} could not be made: ${(error as Error).message}`)
  }
}
if (failed) process.exitCode = 1
