import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { projectFolder } from '../../../server/project-folder.ts'
import { readHouse } from '../map/reading/house.ts'
import { functionIndex, withIndex } from './function-index.ts'

const root = projectFolder()
const file = join(root, 'docs/methods.md')
writeFileSync(file, withIndex(readFileSync(file, 'utf8'), functionIndex(readHouse(root, 'domain/'))))
console.log('docs/methods.md names every public function.')
