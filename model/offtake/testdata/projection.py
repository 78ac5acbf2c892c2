"""Follows pulse-cut stands forward by the plain logistic map, apart from the Go code, and writes projection.csv.

Run with Debian's python3 and python3-numpy:  /usr/bin/python3 projection.py > projection.csv
r, K and B are lognormal about their medians with the given standard deviations of the log. Each year: cut, growth,
noise exp(sigma z), storm. The first cut is h times the 20 % quantile of the exploitable stock, the same kg in all;
later ones, every rest + 1 years, the fraction h of the exploitable stock times the survey's error exp(c z).
"""

import numpy as np

N = 400_000
HORIZON, LIMIT, RISK, REBUILD = 10, 0.2, 0.05, 10

SCENARIOS = [  # name, r, sd, K, sd, B, sd, sigma, storm chance, survival, exploitable, c, rest, h
    ("slow15", 0.4, 0.15, 1000, 0.2, 700, 0.2, 0.2, 0.1, 0.7, 1.0, 0.0, 0, 0.187),
    ("slow30", 0.4, 0.30, 1000, 0.2, 700, 0.2, 0.2, 0.1, 0.7, 1.0, 0.0, 0, 0.166),
    ("slow50", 0.4, 0.50, 1000, 0.2, 700, 0.2, 0.2, 0.1, 0.7, 1.0, 0.0, 0, 0.140),
    ("fast15", 0.8, 0.15, 1000, 0.2, 700, 0.2, 0.2, 0.1, 0.7, 1.0, 0.0, 0, 0.376),
    ("fast30", 0.8, 0.30, 1000, 0.2, 700, 0.2, 0.2, 0.1, 0.7, 1.0, 0.0, 0, 0.323),
    ("fast50", 0.8, 0.50, 1000, 0.2, 700, 0.2, 0.2, 0.1, 0.7, 1.0, 0.0, 0, 0.263),
    ("surveyed", 0.6, 0.30, 1000, 0.2, 600, 0.2, 0.2, 0.1, 0.7, 0.6, 0.4, 0, 0.4),
    ("rested", 0.5, 0.30, 1000, 0.2, 600, 0.2, 0.25, 0.2, 0.6, 1.0, 0.3, 2, 0.4),
    ("thin", 0.5, 0.20, 1000, 0.1, 350, 0.15, 0.1, 0.1, 0.7, 0.8, 0.2, 1, 0.1),
]


def lognormal(rng, median, sd):
    return median * np.exp(sd * rng.standard_normal(N))


class Stand:
    def __init__(self, seed, r, rsd, k, ksd, b, bsd, sigma, chance, survival, share, c, rest):
        rng = np.random.default_rng(seed)
        self.r, self.k, self.b = lognormal(rng, r, rsd), lognormal(rng, k, ksd), lognormal(rng, b, bsd)
        self.share, self.every = share, rest + 1
        self.noise = np.exp(sigma * rng.standard_normal((HORIZON, N)))
        self.noise *= np.where(rng.random((HORIZON, N)) < chance, survival, 1)
        self.miss = np.exp(c * rng.standard_normal((HORIZON, N)))
        self.q = share * np.quantile(self.b, 0.2)
        g = survival ** (chance * self.every) * np.exp(self.r * self.every)
        grown = np.exp(self.r * self.every) - 1
        self.best = np.where(g > 1, self.k * (np.sqrt(np.maximum(g, 1)) - 1) / grown * np.sqrt(g), np.inf)

    def year(self, y, left):
        e = np.exp(self.r)
        return self.k * left * e / (self.k + left * (e - 1)) * self.noise[y]

    def follow(self, kg, h):
        b, ever, risk, caught = self.b, np.zeros(N, bool), 0, np.zeros(N)
        for y in range(HORIZON):
            cut = np.zeros(N)
            if y == 0:
                cut = np.minimum(kg, b)
            elif y % self.every == 0:
                cut = b * np.minimum(h * self.share * self.miss[y], 1)
            caught += cut
            b = self.year(y, b - cut)
            below = b < LIMIT * self.k
            risk = max(risk, below.mean())
            ever |= below
            if y == 0:
                following = np.median(b)
        return risk, ever.mean(), following, np.median(caught / HORIZON)

    def replaced(self, kg):
        b = np.maximum(self.b - kg, 0)
        for y in range(self.every):
            b = self.year(y, b)
        pace = min(1, self.every / REBUILD)
        target = np.where(self.b >= self.best, self.best, self.b + (self.best - self.b) * pace)
        return (b >= target).mean()


def largest(ok, hi):
    lo = 0.0
    for _ in range(25):
        mid = (lo + hi) / 2
        lo, hi = (mid, hi) if ok(mid) else (lo, mid)
    return lo


print("name,r,r_sd,k,k_sd,b,b_sd,sigma,storm_chance,storm_survival,exploitable,survey_cv,rest_years,h,"
      "risk,risk_ever,next_median,yield,largest_h,replacement_kg")
for i, (name, *numbers, h) in enumerate(SCENARIOS):
    s = Stand(i + 1, *numbers)
    out = s.follow(h * s.q, h)
    most = largest(lambda f: s.follow(f * s.q, f)[0] <= RISK, 1.0)
    kg = largest(lambda c: s.replaced(c) >= 0.5, 1000.0)
    print(",".join([name] + [f"{x:g}" for x in numbers] + [f"{h:g}"] + [f"{x:.6g}" for x in (*out, most, kg)]))
