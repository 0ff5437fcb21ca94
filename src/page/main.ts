/** Starts the engine's worker, then the page: while the page is read and drawn, the engine warms up. */
import './styles/base.css'
import './lives/firstWorker.ts'

void import('./begin.ts')
