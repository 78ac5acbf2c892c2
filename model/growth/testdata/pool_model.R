# The posterior of a species over several beds as a JAGS model: that of SampleBeds, with the storms drawn along. pool_jags.R,
# whose draws SampleBeds is held against, and the benchmark beside R source it.
#
# pool_model(errors): errors are lines that draw shared[i], what the i-th survey that found the species shares with others;
# without them shared is data. Data, by the survey n, the survey that found it nf, the bed M, the way L from a survey to the
# next one, the step S[k] of a way and the plot P: at, from, first and bed say which survey or bed; x is log stock, C the cut of
# a step (kg), left the share that a storm leaves, g the growth (years) up to each step and after the last, dt the years of a way.
pool_model <- function(errors = "") paste("
model {
  mur ~ dnorm(mr, 1 / vr)
  muk ~ dnorm(mk, 1 / vk)
  phi ~ dnorm(0, 1 / (scale_r * scale_r)) T(0,)
  omega ~ dnorm(0, 1 / (scale_k * scale_k)) T(0,)
  sigma ~ dnorm(0, 1 / (scale_noise * scale_noise)) T(0,)
  delta ~ dnorm(0, 4)
  for (p in 1:P) { yp[p] ~ dnorm(mur + delta, 1 / (sep[p] * sep[p] + phi * phi)) }
  for (b in 1:M) {
    zr[b] ~ dnorm(0, 1)
    zk[b] ~ dnorm(0, 1)
    logr[b] <- mur + phi * zr[b]
    logK[b] <- muk + omega * zk[b] + off[b]
    r[b] <- exp(logr[b])
    K[b] <- exp(logK[b])
    x[first[b]] ~ dnorm(logK[b] + log(0.6), 1 / (0.6 * 0.6))
  }
  for (i in 1:n) { found[i] ~ dbern(1 - exp(-psu[i] * exp(x[i]) / (area[bed[i]] * dense[bed[i]]))) }
  for (i in 1:nf) {
    tau2[i] <- log(1 + cv[i] * cv[i])
    y[i] ~ dt(x[at[i]] - tau2[i] / 2 + shared[i], 1 / tau2[i], df[i])
  }
  for (k in 1:L) {
    u[k, 1] <- exp(-x[from[k]]) # one over the stock
    for (j in 1:S[k]) {
      kept[k, j] <- exp(-r[bed[from[k]]] * g[k, j])
      grown[k, j] <- u[k, j] * kept[k, j] + (1 - kept[k, j]) / K[bed[from[k]]]
      ok[k, j] ~ dbern(step(1 - C[k, j] * grown[k, j] - 1.0E-9))
      u[k, j + 1] <- grown[k, j] / max(1 - C[k, j] * grown[k, j], 1.0E-9) / left[k, j]
    }
    last[k] <- exp(-r[bed[from[k]]] * g[k, S[k] + 1])
    end[k] <- u[k, S[k] + 1] * last[k] + (1 - last[k]) / K[bed[from[k]]]
    storm[k] ~ dbern(chance * dt[k])
    x[from[k] + 1] ~ dnorm(-log(end[k]) + storm[k] * log(survival), 1 / (sigma * sigma * dt[k]))
  }
", errors, "
}")

# The ways from each survey to the next one of its bed: surveys in the order of bed and time, events (bed, t, kg cut, share
# left by a storm) of the same beds, storms before cuts of one day; what falls on a survey comes after it. G is the growth in
# years between two times.
pool_ways <- function(bed, t, events, G = function(a, b) b - a) {
  from <- which(bed[-length(bed)] == bed[-1])
  events <- events[order(events$t, events$left), ]
  on <- lapply(from, function(i) events[events$bed == bed[i] & events$t >= t[i] & events$t < t[i + 1], ])
  on <- Map(function(e, i) if (nrow(e)) e else data.frame(bed = bed[i], t = t[i], kg = 0, left = 1), on, from)
  S <- vapply(on, nrow, 0L)
  C <- left <- ok <- matrix(NA_real_, length(from), max(S)); g <- matrix(NA_real_, length(from), max(S) + 1)
  for (k in seq_along(from)) {
    s <- seq_len(S[k])
    C[k, s] <- on[[k]]$kg; left[k, s] <- on[[k]]$left; ok[k, s] <- 1
    at <- c(t[from[k]], on[[k]]$t, t[from[k] + 1])
    g[k, seq_len(S[k] + 1)] <- G(at[-length(at)], at[-1])
  }
  list(L = length(from), from = from, S = S, C = C, left = left, ok = ok, g = g, dt = t[from + 1] - t[from])
}
