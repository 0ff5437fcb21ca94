/** Keys that switch mechanisms of the model off. */
import { type Key, mechanism } from './kinds.ts'

export const MECHANISMS: readonly Key[] = [
  mechanism(
    'evaporation',
    'Evaporation',
    'Off: nothing evaporates and no moisture condenses on the drop, whatever the air. The oil still takes up alcohol; with that off too, the drop keeps all its alcohol and water.',
  ),
  mechanism(
    'tensionAbove',
    'Tension gradient above',
    'Off: the tension of the upper surface stays as it is at touch-down, however much alcohol is lost, so that nothing pulls along it. The pull at the edge then changes with the lower surface only.',
    'tension gradient above the film',
  ),
  mechanism(
    'tensionBelow',
    'Tension gradient below',
    'Off: the tension between drop and oil stays as it is at touch-down, however much alcohol is lost. The pull at the edge then changes with the upper surface only.',
    'tension gradient below the film',
  ),
  mechanism(
    'bathDrag',
    'Drag of the oil',
    'Off: the oil has a tenth of its viscosity, but at least 5 mPa·s. It cannot be none: then nothing would hold the drop back, and the pull at the edge would move a layer of oil without thickness.',
    'most of the drag of the oil',
  ),
  mechanism(
    'levelling',
    'Levelling',
    'Off: the curved surface makes no pressure and does not pull where it meets the oil (γ_eff is zero). That pressure smooths the film, keeps a lens open and drives the beads on the rim. Without it a drop that does not spread, or has stopped spreading, is drawn together to a point.',
    'levelling by the curved surface',
  ),
  mechanism(
    'uptake',
    'Uptake by the oil',
    'Off: no alcohol passes into the oil. In experiments some does; how much is only roughly known.',
  ),
  mechanism(
    'cooling',
    'Cooling by evaporation',
    'Off: the drop stays as warm as the room, however much evaporates.',
  ),
]
