/** Who reported what of the experiment; read as far as each says. */
export const REFLETS = 'the authors of the experiment, Reflets de la physique 59, 32 (2018)'
export const HASEGAWA = 'Hasegawa & Manzaki, Phys. Fluids 33(3), 2021, abstract'
export const KISHIMOTO = 'Hasegawa & Kishimoto, Fluids 8(5), 138 (2023), abstract'
export const REPORT = 'a report on the experiment, College Physics, 2021'
export const SEYFERT = 'Seyfert & Marin, arXiv:2109.10305'
/** Read when the facts were collected, but not noted by name. */
export const UNNAMED = 'a published experiment, as collected for this project; its name was not kept'
