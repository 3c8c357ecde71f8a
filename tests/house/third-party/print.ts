import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { projectFolder } from '../../../server/project-folder.ts'
import { thirdPartyPage } from './list.ts'

writeFileSync(join(projectFolder(), 'docs/third-party.md'), thirdPartyPage())
console.log('docs/third-party.md is written.')
