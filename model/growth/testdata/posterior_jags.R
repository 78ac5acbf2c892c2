# The posterior of one bed by JAGS, independent of the code under test: same model, same data as in
# posterior_jags_test.go. Run: Rscript posterior_jags.R > posterior_jags.csv   (R 4.2.2, JAGS 4.3.1, rjags)
suppressMessages(library(rjags))
model <- "
model {
  # spreads between beds, which one bed hardly tells; not centred, as JAGS would be slow in the funnel
  phi ~ dnorm(0, 1 / (0.3 * 0.3)) T(0,)
  omega ~ dnorm(0, 1 / (0.5 * 0.5)) T(0,)
  zr ~ dnorm(0, 1); zK ~ dnorm(0, 1)
  mur ~ dnorm(mr, 1 / vr); muK ~ dnorm(mK, 1 / vK)
  logr <- mur + phi * zr; r <- exp(logr)
  logK <- muK + omega * zK; K <- exp(logK)
  sigma ~ dnorm(0, 1 / (0.3 * 0.3)) T(0,)
  c ~ dnorm(0, 1 / log(1 + 0.1 * 0.1))
  x[1] ~ dnorm(logK + log(0.6), 1 / (0.6 * 0.6))
  for (t in 1:n) {
    B[t] <- exp(x[t])
    tau2[t] <- log(1 + cv[t] * cv[t])
    own[t] ~ dnorm(0, 1 / log(1 + 0.08 * 0.08))
    y[t] ~ dt(x[t] - tau2[t] / 2 + c + own[t], 1 / tau2[t], df[t])
    found[t] ~ dbern(1 - exp(-12 * B[t] / (10000 * 7)))
  }
  for (t in 1:(n - 1)) {
    # growth to the take, take, growth to the storm, storm, growth to the next survey
    u1[t] <- exp(-x[t]) * exp(-r * g1[t]) + (1 - exp(-r * g1[t])) / K
    ok[t] ~ dbern(step(1 - C[t] * u1[t] - 1.0E-9))
    u2[t] <- u1[t] / max(1 - C[t] * u1[t], 1.0E-9)
    u3[t] <- (u2[t] * exp(-r * g2[t]) + (1 - exp(-r * g2[t])) / K) / left[t]
    u4[t] <- u3[t] * exp(-r * g3[t]) + (1 - exp(-r * g3[t])) / K
    J[t] ~ dbern(p[t])
    x[t + 1] ~ dnorm(-log(u4[t]) + J[t] * log(0.7), 1 / (sigma * sigma + extra[t]))
  }
}"
# growth within the year: amplitude 0.5, fastest at 0.35 of the year
G <- function(a, b) (b - a) + 0.5 / (2 * pi) * (sin(2 * pi * (b - 0.35)) - sin(2 * pi * (a - 0.35)))
survey <- 50.45 + 0:4
take <- c(50.8, 51.7, 52.95, 53.7)
storm <- c(51.2, 52.1, 53.2, 54.1)   # only the second came, of unknown strength; the third is known to have left 0.8
left <- c(1, 0.7, 0.8, 1)
g1 <- g2 <- g3 <- numeric(4)
for (t in 1:4) {
  g1[t] <- G(survey[t], take[t]); g2[t] <- G(take[t], storm[t]); g3[t] <- G(storm[t], survey[t + 1])
}
data <- list(n = 5, y = log(c(52000, 47000, 45000, 41000, 30000)), cv = c(0.18, 0.15, 0.2, 0.18, 0.25),
  df = c(9, 7, 5, 9, 4), found = rep(1, 5), ok = rep(1, 4), C = c(9000, 8000, 4000, 11000) / 0.8,
  g1 = g1, g2 = g2, g3 = g3, left = left, p = c(0.1, 0, 0.1, 0.1), extra = c(0, 0.09, 0, 0),
  mr = log(0.5), vr = log(1 + 0.5^2), mK = log(9 * 10000 * 0.7), vK = log(1 + 0.4^2))
inits <- lapply(1:4, function(i) list(mur = log(0.5), muK = log(80000), sigma = 0.2, x = data$y + 0.05,
  .RNG.name = "base::Mersenne-Twister", .RNG.seed = i))
m <- jags.model(textConnection(model), data, inits, n.chains = 4, n.adapt = 5000, quiet = TRUE)
update(m, 20000, progress.bar = "none")
s <- coda.samples(m, c("logr", "logK", "sigma", "x"), 100000, thin = 20, progress.bar = "none")
all <- as.matrix(s)
cat("name,mean,sd,q05,q50,q95,ess\n")
for (name in colnames(all)) {
  z <- all[, name]
  cat(sprintf("%s,%.5f,%.5f,%.5f,%.5f,%.5f,%.0f\n", name, mean(z), sd(z), quantile(z, 0.05), quantile(z, 0.5),
    quantile(z, 0.95), effectiveSize(s[, name])))
}
