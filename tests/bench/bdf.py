"""
The semi-discrete equations of one drop (constant evaporation, constant viscosity and dispersion, real bath fields),
written with NumPy and integrated by SciPy's BDF. Reads one JSON object from stdin (mesh, constants, states), checks its
rates against those that came with it, integrates for each tolerance, and prints one JSON object. See scipy.ts.
"""
import json
import sys
import time

import numpy as np
import scipy
from scipy.integrate import solve_ivp

d = json.load(sys.stdin)
c = d["constants"]
N, M, K = d["cells"], d["modes"], d["outer"]
B = 2 + M
s, area, zc, gap = (np.array(d[k]) for k in ("s", "area", "zc", "gap"))
weight = np.array(d["weight"])
bL, bC, bR = (np.array(x) for x in d["spread"])
sL, sC, sR = (np.array(x) for x in d["slope"])
g = np.array(d["g"])
decay, gain = np.array(d["decay"]), np.array(d["gain"])
outer_at, books_at, radius_at = d["outerAt"], d["booksAt"], d["radiusAt"]
DRY, WET, NO_WET, LEAST, SHARE = (c[k] for k in ("dry", "wet", "noWetness", "least", "donorShare"))

lapL = np.zeros(N)
lapL[1:] = s[1:N] / gap[1:N] / area[1:]
right = s[1:] / gap[1:] / area
lapR = right.copy()
lapR[-1] = 0
lapC = -lapL - right


def gamma_a(phi):
    return 1e-3 * (27.6 - 6.4 * phi + 44.4 * np.exp(-phi / 0.085))


def gamma_i(phi):
    return 0.4e-3 + 24.5e-3 * np.exp(-3.6 * phi)


def limited(a, b, theta):
    same = a * b > 0
    safe = np.where(same, (1 - theta) * b + theta * a, 1.0)
    return np.where(same, a * b / safe, 0.0)


def closures(phi):
    """Curves on 0-1, continued by their tangents outside as the engine's are."""
    inside = np.clip(phi, 0, 1)
    a, spread = gamma_a(inside), c["gammaO"] - gamma_a(inside) - gamma_i(inside)
    over = phi - inside
    if np.any(over):
        e = 1e-6
        low = np.where(phi < 0, 0.0, 1.0 - e)
        a = a + over * (gamma_a(low + e) - gamma_a(low)) / e
        spread = spread - over * (gamma_a(low + e) - gamma_a(low) + gamma_i(low + e) - gamma_i(low)) / e
    return a, spread


def rates(_t, y):
    R = y[radius_at]
    cellwise = y[: N * B].reshape(N, B)
    h, psi = cellwise[:, 0] / R**2, cellwise[:, 1] / R**2
    phi = (psi * h + c["phiDry"] * DRY**2) / (h**2 + DRY**2)
    ga, spread = closures(phi)
    wetness = h**2 / (h**2 + WET**2)
    x = np.where(h > 0, h / c["coverage"], 0)
    cover = x**2 / (1 + x**2)
    sigma = c["gammaO"] - cover * spread
    hl, hr = np.r_[0, h[:-1]], np.r_[h[1:], 0]
    p = -c["levelling"] * (lapL * hl + lapC * h + lapR * hr) / R**2
    speed = np.r_[0, cellwise[:, 2:].sum(1)]
    U = speed[N]

    f = slice(1, N)
    dx = R * gap[f]
    rise = h[1:] - h[:-1]
    level = h[:-1] + weight[f] * rise
    push = p[1:] - p[:-1]
    force = (sigma[1:] - sigma[:-1] - level * push) / dx
    hm = np.sqrt(np.maximum(h[:-1], LEAST) * np.maximum(h[1:], LEAST))
    xm = hm / c["coverage"]
    eta = c["viscosity"]
    tension = xm**2 / (1 + xm**2) * hm**2 / (2 * eta * dx)
    donor = np.where(push < 0, h[:-1], h[1:])
    mobile = np.where(donor > hm, hm**3 + SHARE * (donor**3 - hm**3), hm**3)
    q = tension * (ga[1:] - ga[:-1]) - mobile / (3 * eta * dx) * push
    r = R * s[f]
    v = speed[1:N] - s[f] * U
    w = weight[f]

    def upwind(val, beyond_last):
        across = (val[1:] - val[:-1]) / gap[f]
        before = np.r_[0, across[:-1]]
        after = np.r_[across[1:], beyond_last]
        down = val[:-1] + gap[f] * w * limited(before, across, np.maximum(0.5, w))
        down[0] = val[0]
        up = val[1:] - gap[f] * (1 - w) * limited(across, after, np.minimum(0.5, w))
        return np.where(v > 0, down, up)

    h_up, phi_up = upwind(h, -h[-1] / gap[N]), upwind(phi, 0.0)
    wa, wb = wetness[:-1] + NO_WET, wetness[1:] + NO_WET
    mean = (wa * phi[:-1] + wb * phi[1:]) / (wa + wb)
    dispersion = np.maximum(c["dispersion"], 0.5 * np.abs(q) * dx / hm)
    spread_of = s[f] * hm * wetness[:-1] * wetness[1:] * (phi[1:] - phi[:-1]) / gap[f]
    flux = np.zeros(N + 1)
    alcohol_flux = np.zeros(N + 1)
    flux[f] = r * (h_up * v + q)
    alcohol_flux[f] = r * (phi_up * h_up * v + mean * q) - spread_of * dispersion

    product = psi * h
    held = np.where(phi < 0, np.abs(product), product) / (np.abs(product) + c["phiDry"] * DRY**2)
    loss = h / (np.abs(h) + c["evaporationCutoff"]) * held * c["vapourSpeed"] * phi * R**2
    out = np.zeros_like(y)
    inner = out[: N * B].reshape(N, B)
    inner[:, 0] = (flux[:-1] - flux[1:]) / area - loss
    inner[:, 1] = (alcohol_flux[:-1] - alcohol_flux[1:]) / area - loss
    out[books_at] = out[books_at + 1] = np.sum(area * loss)
    out[radius_at] = U

    drift = U / R
    diffusion = c["spreading"] / R**2
    low = diffusion * bL[f] + s[f] * drift * sL[f]
    own = diffusion * bC[f] + s[f] * drift * sC[f]
    up = diffusion * bR[f] + s[f] * drift * sR[f]
    u = cellwise[:, 2:]
    before = np.vstack([np.zeros(M), u[:-2]])
    inner[:-1, 2:] = (
        gain * force[:, None] + low[:, None] * before + (own[:, None] - decay) * u[:-1] + up[:, None] * u[1:]
    )

    # Outside the edge: faces 0 (the edge) to K - 1, u = 0 at the wall.
    radius = np.r_[R * s[N - 1], R + (c["dish"] - R) * g]
    left, rightward = radius[1:-1] - radius[:-2], radius[2:] - radius[1:-1]
    area_in = left * (radius[1:-1] + radius[:-2])
    area_out = rightward * (radius[2:] + radius[1:-1])
    wide = (area_in + area_out) / (4 * radius[1:-1])
    oL, oR = 2 * radius[:-2] / (area_in * wide), 2 * radius[2:] / (area_out * wide)
    oC = -2 * radius[1:-1] * (area_in + area_out) / (area_in * area_out * wide)
    scale = 1 / (left * rightward * (left + rightward))
    tL, tR = -(rightward**2) * scale, left**2 * scale
    tR[0] = 1 / (left[0] + rightward[0])
    tL[0] = -tR[0]
    tC = -tL - tR
    tC[0] = 0
    drag = U * (1 - g[:K])
    low, own, up = (c["spreading"] * o + drag * t for o, t in ((oL, tL), (oC, tC), (oR, tR)))
    edge_slope = h[-1] / (R * gap[N])
    pull = c["gammaO"] - sigma[-1] + 0.5 * c["levelling"] * edge_slope**2
    beyond = y[outer_at:books_at].reshape(M, K - 1)
    for m in range(M):
        line = np.r_[u[-2, m], u[-1, m], beyond[m], 0]
        change = low * line[:-2] + (own - decay[m]) * line[1:-1] + up * line[2:]
        change[0] += gain[m] * pull / wide[0]
        inner[-1, 2 + m] = change[0]
        out[outer_at + m * (K - 1) : outer_at + (m + 1) * (K - 1)] = change[1:]
    return out


answers = {"scipy": scipy.__version__, "numpy": np.__version__, "python": sys.version.split()[0]}
mine, theirs = rates(0, np.array(d["middle"])), np.array(d["middleRates"])
worst = 0.0
for first, last, step in ((0, N * B, B), (1, N * B, B), *((2 + m, N * B, B) for m in range(M)), (outer_at, books_at, 1)):
    a, b = mine[first:last:step], theirs[first:last:step]
    worst = max(worst, float(np.abs(a - b).max() / np.abs(b).max()))
answers["ratesDiffer"] = max(worst, abs(mine[radius_at] / theirs[radius_at] - 1))

y0 = np.array(d["start"])
scale = np.ones_like(y0)
scale[0 : N * B : B] = scale[1 : N * B : B] = 1e-9 * y0[radius_at] ** 2
for m in range(M):
    scale[2 + m : N * B : B] = 1e-5
scale[outer_at:books_at] = 1e-5
scale[books_at:radius_at] = 1e-13
scale[radius_at] = 1e-7
runs = []
for tolerance in d["tolerances"]:
    began = time.perf_counter()
    solution = solve_ivp(
        rates,
        (0, d["until"]),
        y0,
        method="BDF",
        rtol=tolerance,
        atol=scale * (tolerance / 1e-3),
        t_eval=d["times"],
        first_step=1e-7,
    )
    runs.append(
        {
            "rtol": tolerance,
            "ms": 1e3 * (time.perf_counter() - began),
            "ok": bool(solution.success),
            "message": solution.message,
            "evaluations": int(solution.nfev),
            "jacobians": int(solution.njev),
            "factorisations": int(solution.nlu),
            "R": [float(x) for x in solution.y[radius_at]],
        }
    )
answers["runs"] = runs
print(json.dumps(answers))
