/** What the model leaves out, in plain words: shown on the page and in every report. */
export const LIMITS: readonly string[] = [
  'The drop is round. Whether its rim beads, when and in how many places comes from a linear stability calculation on top of the life: it tells beads, whose necks then fail. Long fingers are non-linear and are not predicted.',
  'Beads grow out of a noise that nobody knows; 1 µm is assumed. Ten times more or less moves the time at which they show by 10 to 60 %, more near the threshold. Their number is good to about a quarter: it moves by as much with the mesh.',
  'What is shed comes from a quicker estimate, a closed formula fitted to the full calculation; in it beads come 1.5 to 2.5 times sooner. Its drops are those that leave the rim. They merge on the bath, so a minute later there are fewer and larger ones.',
  'On thicker oil a mixture sheds later and less, or nothing, and its drops come out larger. 70 % by volume of the closed-form alcohol gives drops of 31, 33, 38, 40 and 64 µm radius (median by volume) on oils of 20, 50, 100, 200 and 500 mPa·s; 70 % ethanol by mass gives 39 µm on kitchen-grade rapeseed oil and sheds nothing on castor oil, which takes too much of its alcohol. Published drops on castor oil are small.',
  'How much alcohol the oil takes up is an estimate from the structure of the molecules, good to a factor 2.2 or so. It matters: of four usual drops the oil takes 7 to 33 % of the alcohol, as much as the air; their largest radius is 12 to 17 % smaller for it and their life a quarter to almost a half shorter. Half or twice the uptake moves the largest radius by 6 to 12 %. One solubility stands for all strengths, no water passes, and alcohol in the oil changes neither its tension nor its viscosity. Castor oil mixes with pure alcohol; for it an effective value is assumed.',
  'The film is taken as thin and gently sloped. A steep lens, well below the threshold, is only roughly right.',
  'Volumes of alcohol and water are added as they are, although a mixture is up to 4 % smaller.',
  'The drop is cooled by what evaporates; the heat comes out of the oil alone. The air, the heat of mixing, a slope of the temperature along the film and colder, thicker oil are left out. Cooling lowers the largest radius by 0 to 2.5 %.',
  'The bare oil pulls evenly everywhere, and there is no dye in the drop. Dyes gather at surfaces and do matter.',
  'The tension between drop and oil is the least known input. Near the threshold a change of 1 % in it moves the largest radius by about 1.4 %, for strong mixtures by almost nothing.',
  'In the laboratory the largest radius is reported to grow about in a straight line with the alcohol fraction; here it rises steeply just above the threshold and levels off beyond 60 %. The difference is an open question.',
  'Strong mixtures (above about 70 %) draw the outer film out to less than 0.1 µm; there the answer depends on the coverage cut-off.',
]
