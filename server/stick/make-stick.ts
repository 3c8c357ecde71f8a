import { mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { join, relative, sep } from 'node:path'
import { type Zippable, zipSync } from 'fflate'
import { projectFolder } from '../project-folder.ts'
import { putTogether } from '../together.js'
import { makeFolder } from './folder.ts'
import { PLATFORMS } from './platforms.ts'
import { stickPage } from './start-files.ts'

/** Made by a machine that knows rights, so that unpacking gives them back. */
const UNIX = 3

const project = projectFolder()
const target = process.argv[2] ?? join(project, 'stick')
mkdirSync(target, { recursive: true })
const built = putTogether(project)
const store = join(project, 'node_modules/.runtimes')
const packed: { name: string; machine: string }[] = []
let failed = false
for (const platform of PLATFORMS) {
  try {
    const name = makeFolder({ project, built, target, platform, store })
    const zip = zipped(join(target, name), name)
    writeFileSync(join(target, `${name}.zip`), zip)
    rmSync(join(target, name), { recursive: true })
    packed.push({ name, machine: platform.machine })
    console.log(`${join(target, `${name}.zip`)}: ${Math.round(zip.length / 1e6)} MB`)
  } catch (error) {
    failed = true
    console.error(`${platform.name} could not be made: ${(error as Error).message}`)
  }
}
const { version } = JSON.parse(readFileSync(join(project, 'package.json'), 'utf8')) as { version: string }
writeFileSync(join(target, 'READ ME FIRST.txt'), stickPage(version, packed))
if (failed) process.exitCode = 1

/** A folder as one zip file, under its own name, with the right to run kept. */
function zipped(folder: string, name: string): Uint8Array {
  const files: Zippable = {}
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile()) continue
    const path = join(entry.parentPath, entry.name)
    const mode = statSync(path).mode
    files[`${name}/${relative(folder, path).split(sep).join('/')}`] = [
      readFileSync(path),
      { os: UNIX, attrs: mode << 16 },
    ]
  }
  return zipSync(files, { level: 6 })
}
