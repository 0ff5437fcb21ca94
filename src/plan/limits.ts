/** What the model leaves out, in plain words: shown on the page and in every report. */
export const LIMITS: readonly string[] = [
  'The drop is round. Whether its rim beads, when and in how many places comes from a linear stability calculation on top of the life: it tells beads, whose necks then fail. Long fingers are non-linear and are not predicted.',
  'Beads grow out of a noise that nobody knows; 1 µm is assumed. Ten times more or less moves the time at which they show by 10 to 60 %, more near the threshold. Their number is good to about a quarter: it moves by as much with the mesh.',
  'What is shed comes from a quicker estimate, a closed formula fitted to the full calculation; in it beads come 1.5 to 2.5 times sooner. Its drops are those that leave the rim. They merge on the bath, so a minute later there are fewer and larger ones.',
  'On thicker oil a mixture sheds later and less, or nothing, and its drops come out larger. 70 % by volume of the closed-form alcohol gives drops of 31, 33, 38, 40 and 64 µm radius (median by volume) on oils of 20, 50, 100, 200 and 500 mPa·s; 70 % ethanol by mass gives 26 µm on kitchen-grade rapeseed oil and 57 µm on castor oil. Published drops on castor oil are smaller. Castor oil dissolves alcohol, which the model leaves out, so the comparison does not tell the viscosity alone.',
  'The film is taken as thin and gently sloped. A steep lens, well below the threshold, is only roughly right.',
  'Volumes of alcohol and water are added as they are, although a mixture is up to 4 % smaller.',
  'The drop stays at room temperature: cooling by evaporation is left out (about 1.6 K after 4 s at 0.4 µm/s; the largest radius would move by +0.6 % at 50 % and by −6 % near the threshold).',
  'The bare oil pulls evenly everywhere, and there is no dye in the drop. Dyes gather at surfaces and do matter.',
  'The tension between drop and oil is the least known input. Near the threshold a change of 1 % in it moves the largest radius by about 1.4 %, for strong mixtures by almost nothing.',
  'In the laboratory the largest radius is reported to grow about in a straight line with the alcohol fraction; here it rises steeply just above the threshold and levels off beyond 60 %. The difference is an open question.',
  'Strong mixtures (above about 70 %) draw the outer film out to less than 0.1 µm; there the answer depends on the coverage cut-off.',
]
