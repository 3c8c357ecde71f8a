import type { Desk, Pages } from '../../web/pages/desk.ts'
import { workingPage } from '../../web/pages/working.ts'
import { stateOr404 } from './found.ts'
import { addReadingPages } from './reading-routes.ts'
import { storageWorking } from './working.ts'

/** How much water a weir holds today, and how that is worked out. */
export function addStoragePages(pages: Pages): void {
  addReadingPages(pages)
  pages.get('/water/working/store/:id', 'water.see', showStorage)
}

async function showStorage(desk: Desk<'id'>) {
  return workingPage(desk, storageWorking(await stateOr404(desk), desk))
}
