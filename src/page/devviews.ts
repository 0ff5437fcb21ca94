import './styles.css'
import './stylesPanels.css'
import { syntheticLife } from '../../tests/fixtures/syntheticLife.ts'
import { addPin, receiveLife } from './actions.ts'
import { createPulls } from './plots/pulls.ts'
import { createSection } from './plots/section.ts'
import { createTraces } from './plots/traces.ts'
import { createStage } from './stage/stage.ts'
import { createPageStore } from './store.ts'

const q = new URLSearchParams(location.search)
const dark = q.has('dark')
document.documentElement.dataset.theme = dark ? 'dark' : 'light'
const life = syntheticLife({ largest: Number(q.get('R') ?? 0.028) })
const store = createPageStore(life.preset)
store.setState({ dark })
receiveLife(store, life)
if (q.has('pin'))
  addPin(store, {
    id: 'p',
    label: 'weaker',
    life: syntheticLife({ largest: 0.02, end: 6 }),
    colour: '#d55e00',
    dash: [7, 3],
  })
const views = ['stage', 'section', 'traces', 'pulls'] as const
const made = { stage: createStage, section: createSection, traces: createTraces, pulls: createPulls }
const alive = views.map((v) => made[v](document.getElementById(v)!, store))
store.setState({
  time: Number(q.get('t') ?? 3.2),
  cursorRadius: 0.0125,
  ...(q.get('by') ? { colourBy: q.get('by') as never } : {}),
  ...(q.has('lin') ? { logHeight: false } : {}),
})
Object.assign(window, { store, alive, receiveLife, syntheticLife })
