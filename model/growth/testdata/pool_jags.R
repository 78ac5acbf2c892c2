# The posterior of a species over several beds by JAGS, independent of the code under test: same model, and the data of
# pool_*.csv. Run: Rscript pool_jags.R > pool_jags.csv   (R 4.2.2, JAGS 4.3.1, rjags)
suppressMessages(library(rjags))
model <- "
model {
  mur ~ dnorm(mr, 1 / vr)
  muk ~ dnorm(mk, 1 / vk)
  phi ~ dnorm(0, 1 / (0.3 * 0.3)) T(0,)
  omega ~ dnorm(0, 1 / (0.5 * 0.5)) T(0,)
  sigma ~ dnorm(0, 1 / (0.3 * 0.3)) T(0,)
  delta ~ dnorm(0, 4)
  for (p in 1:P) { yp[p] ~ dnorm(mur + delta, 1 / (sep[p] * sep[p] + phi * phi)) }
  for (b in 1:M) {
    zr[b] ~ dnorm(0, 1)
    zk[b] ~ dnorm(0, 1)
    logr[b] <- mur + phi * zr[b]
    logK[b] <- muk + omega * zk[b] + off[b]
    r[b] <- exp(logr[b])
    K[b] <- exp(logK[b])
    a[b] ~ dnorm(0, 1 / log(1 + 0.1 * 0.1))
    x[first[b]] ~ dnorm(logK[b] + log(0.6), 1 / (0.6 * 0.6))
  }
  for (j in 1:J) { c[j] ~ dnorm(0, 1 / log(1 + 0.15 * 0.15)) }
  for (i in 1:n) { found[i] ~ dbern(1 - exp(-psu[i] * exp(x[i]) / (area[bed[i]] * dense[bed[i]]))) }
  for (i in 1:nf) {
    tau2[i] <- log(1 + cv[i] * cv[i])
    y[i] ~ dt(x[at[i]] - tau2[i] / 2 + c[cal[i]] + a[bed[at[i]]], 1 / tau2[i], df[i])
  }
  for (k in 1:L) {
    # growth to the take, take, growth to the next survey
    u1[k] <- exp(-x[from[k]]) * exp(-r[bed[from[k]]] * g1[k]) + (1 - exp(-r[bed[from[k]]] * g1[k])) / K[bed[from[k]]]
    ok[k] ~ dbern(step(1 - C[k] * u1[k] - 1.0E-9))
    u2[k] <- u1[k] / max(1 - C[k] * u1[k], 1.0E-9)
    u3[k] <- u2[k] * exp(-r[bed[from[k]]] * g2[k]) + (1 - exp(-r[bed[from[k]]] * g2[k])) / K[bed[from[k]]]
    storm[k] ~ dbern(0.15 * dt[k])
    x[from[k] + 1] ~ dnorm(-log(u3[k]) + storm[k] * log(0.65), 1 / (sigma * sigma * dt[k]))
  }
}"
# growth within the year: amplitude 0.4, fastest at 0.35 of the year
G <- function(a, b) (b - a) + 0.4 / (2 * pi) * (sin(2 * pi * (b - 0.35)) - sin(2 * pi * (a - 0.35)))
read <- function(f) read.csv(f, stringsAsFactors = FALSE)
surveys <- read("pool_surveys.csv"); beds <- read("pool_beds.csv"); cuts <- read("pool_cuts.csv"); plots <- read("pool_plots.csv")
cat("case,name,mean,sd,q05,q50,q95,ess\n")
for (case in c("three", "six")) {
  s <- surveys[surveys$case == case, ]; b <- beds[beds$case == case, ]; u <- cuts[cuts$case == case, ]; p <- plots[plots$case == case, ]
  bed <- match(s$bed, b$bed); n <- nrow(s)
  from <- which(bed[-n] == bed[-1])
  C <- g1 <- g2 <- dt <- numeric(length(from))
  for (k in seq_along(from)) {
    t1 <- s$t[from[k]]; t2 <- s$t[from[k] + 1]
    w <- which(u$bed == s$bed[from[k]] & u$t >= t1 & u$t < t2)
    stopifnot(length(w) <= 1)
    tc <- if (length(w)) u$t[w] else t1
    C[k] <- if (length(w)) u$kg[w] else 0
    g1[k] <- G(t1, tc); g2[k] <- G(tc, t2); dt[k] <- t2 - t1
  }
  at <- which(s$kg > 0); cal <- match(s$calibration[at], unique(s$calibration[at]))
  if (nrow(p) == 0) { yp <- NA; sep <- 1 } else { yp <- p$logr; sep <- p$se } # NA: a value that says nothing
  data <- list(n = n, M = nrow(b), L = length(from), P = length(yp), J = max(cal), nf = length(at), yp = yp, sep = sep, off = log(b$area * b$occ),
    first = match(seq_len(nrow(b)), bed), bed = bed, psu = s$psu, area = b$area, dense = b$dense, found = as.numeric(s$kg > 0),
    at = at, cv = s$cv[at], df = s$df[at], y = log(s$kg[at]), cal = cal, from = from, C = C, g1 = g1, g2 = g2, dt = dt,
    ok = rep(1, length(from)), mr = log(0.8), vr = log(1 + 0.5^2), mk = log(7), vk = log(1 + 0.4^2))
  x0 <- log(pmax(s$kg, 500)) + 0.3
  inits <- lapply(1:4, function(i) list(x = x0, sigma = 0.2, mur = log(0.8), muk = log(8), phi = 0.2, omega = 0.3,
    .RNG.name = "base::Mersenne-Twister", .RNG.seed = i))
  m <- jags.model(textConnection(model), data, inits, n.chains = 4, n.adapt = 4000, quiet = TRUE)
  update(m, 10000, progress.bar = "none")
  iter <- as.integer(Sys.getenv("ITER", "30000"))
  took <- system.time(z <- coda.samples(m, c("mur", "muk", "phi", "omega", "sigma", "logr", "logK", "x"), iter, thin = 20, progress.bar = "none"))[["elapsed"]]
  asked <- c(sprintf("logr[%d]", seq_len(nrow(b))), sprintf("logK[%d]", seq_len(nrow(b))),
    sprintf("x[%d]", c(from[-1][diff(from) > 1], n)))
  # effective draws of r, K and stock a second: smallest over the beds, without the time of adaptation and burn-in
  message(sprintf("speed %s: %.1f effective draws a second", case, min(effectiveSize(z[, asked])) / took))
  all <- as.matrix(z)
  for (name in colnames(all)) {
    v <- all[, name]
    cat(sprintf("%s,%s,%.5f,%.5f,%.5f,%.5f,%.5f,%.0f\n", case, name, mean(v), sd(v), quantile(v, 0.05), quantile(v, 0.5),
      quantile(v, 0.95), effectiveSize(z[, name])))
  }
}
