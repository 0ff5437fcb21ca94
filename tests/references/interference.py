"""Colours of a water-ethanol film on rapeseed oil in daylight, calculated apart from the program.

    python3 tests/references/interference.py FOLDER > tests/references/interference.json

Nothing of the program is used: other tables, another method, other indices.
  observer, D65   tables every 10 nm of `colormath` 3.0.0 (Debian package python3-colormath; FOLDER is where it is unpacked),
                  observer by cubic spline, D65 linear, both to 0.5 nm
  reflection      product of the characteristic matrices of surfaces and film, complex amplitudes, for each wavelength
  index of film   sodium D at 20 C: CRC Handbook, concentrative properties of aqueous solutions (from memory), cubic spline;
                  wavelength: water Daimon & Masumura (2007), ethanol Kozma et al. (2005), by volume
  index of oil    1.4735 at sodium D, wavelength as oleic acid, Jones et al. (2015)
  screen          matrix worked out from the primaries and the white point of IEC 61966-2-1
A reflectance of 4 % is shown as white (factor 25). Columns: optical thickness n_D h from 0 in steps of 10 nm; rows: alcohol
share of the volume; numbers: linear sRGB, which may lie outside 0..1.
"""

import json
import sys

import numpy as np
from scipy.interpolate import CubicSpline

sys.path.insert(0, sys.argv[1])
from colormath import spectral_constants as tables  # noqa: E402

tens = np.arange(340.0, 831.0, 10.0)
nm = np.arange(380.0, 780.01, 0.5)
observer = np.array([CubicSpline(tens, t)(nm) for t in (tables.STDOBSERV_X2, tables.STDOBSERV_Y2, tables.STDOBSERV_Z2)])
daylight = np.interp(nm, tens, tables.REFERENCE_ILLUM_D65)
weights = observer * daylight
weights /= weights[1].sum()

um = nm / 1000
SODIUM = 0.5893


def water(l):
    s = l * l
    return np.sqrt(
        1
        + 5.684027565e-1 * s / (s - 5.101829712e-3)
        + 1.726177391e-1 * s / (s - 1.821153936e-2)
        + 2.086189578e-2 * s / (s - 2.620722293e-2)
        + 1.130748688e-1 * s / (s - 1.069792721e1)
    )


def ethanol(l):
    return 1.34959 + 4.0147128e-3 / l**2 - 5.9411155e-5 / l**4 + 3.04975e-6 / l**6


def oleic(l):
    return 1.4554 + 4.565e-3 / l**2 + 1e-4 / l**4


MASS = np.linspace(0, 1, 11)
INDEX = [1.3330, 1.3395, 1.3469, 1.3535, 1.3583, 1.3616, 1.3638, 1.3652, 1.3658, 1.3650, 1.3614]
index_of_mass = CubicSpline(MASS, INDEX)


def film_index(share):
    alcohol, rest = share * 789.2, (1 - share) * 998.2
    at_sodium = float(index_of_mass(alcohol / (alcohol + rest)))
    change = share * (ethanol(um) - ethanol(SODIUM)) + (1 - share) * (water(um) - water(SODIUM))
    return at_sodium, at_sodium + change


oil = 1.4735 + oleic(um) - oleic(SODIUM)


def surface(n1, n2):
    """Matrix that takes the amplitudes (forth, back) behind a surface to those before it."""
    r = (n1 - n2) / (n1 + n2)
    t = 2 * n1 / (n1 + n2)
    return np.array([[1 / t, r / t], [r / t, 1 / t]])


def reflected(n, h):
    """Reflectance at all wavelengths; h in um."""
    out = np.empty(len(um))
    for i, wavelength in enumerate(um):
        phase = 2 * np.pi * n[i] * h / wavelength
        through = np.array([[np.exp(-1j * phase), 0], [0, np.exp(1j * phase)]])
        m = surface(1.0, n[i]) @ through @ surface(n[i], oil[i])
        out[i] = abs(m[1, 0] / m[0, 0]) ** 2
    return out


def xyz_to_rgb():
    def column(x, y):
        return [x / y, 1.0, (1 - x - y) / y]

    primaries = np.array([column(0.64, 0.33), column(0.30, 0.60), column(0.15, 0.06)]).T
    white = np.array(column(0.3127, 0.3290))
    return np.linalg.inv(primaries * np.linalg.solve(primaries, white))


matrix = xyz_to_rgb()
shares = [0.0, 0.25, 0.5, 0.75, 1.0]
steps = 301
rows = []
for share in shares:
    at_sodium, n = film_index(share)
    row = []
    for k in range(steps):
        rgb = matrix @ (weights @ (25 * reflected(n, 0.010 * k / at_sodium)))
        row.append([round(float(c), 5) for c in rgb])
    rows.append({"share": share, "index": round(at_sodium, 5), "rgb": row})

white = weights.sum(axis=1)
print(
    json.dumps(
        {
            "made": "tests/references/interference.py, which says how and from what",
            "step_nm": 10,
            "whitePoint": [round(float(c), 5) for c in white],
            "rows": rows,
        },
        separators=(",", ":"),
    )
)
