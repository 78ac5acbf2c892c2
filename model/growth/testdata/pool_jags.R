# The posterior of a species over several beds by JAGS, independent of the code under test: same model, and the data of
# pool_*.csv. Run: Rscript pool_jags.R > pool_jags.csv   (R 4.2.2, JAGS 4.3.1, rjags)
suppressMessages(library(rjags))
source("pool_model.R")
model <- pool_model("
  for (b in 1:M) { a[b] ~ dnorm(0, 1 / log(1 + 0.1 * 0.1)) }
  for (j in 1:J) { c[j] ~ dnorm(0, 1 / log(1 + 0.15 * 0.15)) }
  for (i in 1:nf) { shared[i] <- c[cal[i]] + a[bed[at[i]]] }")
# growth within the year: amplitude 0.4, fastest at 0.35 of the year
G <- function(a, b) (b - a) + 0.4 / (2 * pi) * (sin(2 * pi * (b - 0.35)) - sin(2 * pi * (a - 0.35)))
read <- function(f) read.csv(f, stringsAsFactors = FALSE)
surveys <- read("pool_surveys.csv"); beds <- read("pool_beds.csv"); cuts <- read("pool_cuts.csv"); plots <- read("pool_plots.csv")
cat("case,name,mean,sd,q05,q50,q95,ess\n")
for (case in c("three", "six")) {
  s <- surveys[surveys$case == case, ]; b <- beds[beds$case == case, ]; u <- cuts[cuts$case == case, ]; p <- plots[plots$case == case, ]
  bed <- match(s$bed, b$bed); n <- nrow(s)
  ways <- pool_ways(bed, s$t, data.frame(bed = match(u$bed, b$bed), t = u$t, kg = u$kg, left = rep(1, nrow(u))), G)
  at <- which(s$kg > 0); cal <- match(s$calibration[at], unique(s$calibration[at]))
  if (nrow(p) == 0) { yp <- NA; sep <- 1 } else { yp <- p$logr; sep <- p$se } # NA: a value that says nothing
  data <- c(ways, list(n = n, M = nrow(b), P = length(yp), J = max(cal), nf = length(at), yp = yp, sep = sep, off = log(b$area * b$occ),
    first = match(seq_len(nrow(b)), bed), bed = bed, psu = s$psu, area = b$area, dense = b$dense, found = as.numeric(s$kg > 0),
    at = at, cv = s$cv[at], df = s$df[at], y = log(s$kg[at]), cal = cal, mr = log(0.8), vr = log(1 + 0.5^2), mk = log(7), vk = log(1 + 0.4^2),
    scale_r = 0.3, scale_k = 0.5, scale_noise = 0.3, chance = 0.15, survival = 0.65))
  x0 <- log(pmax(s$kg, 500)) + 0.3
  inits <- lapply(1:4, function(i) list(x = x0, sigma = 0.2, mur = log(0.8), muk = log(8), phi = 0.2, omega = 0.3,
    .RNG.name = "base::Mersenne-Twister", .RNG.seed = i))
  m <- jags.model(textConnection(model), data, inits, n.chains = 4, n.adapt = 4000, quiet = TRUE)
  update(m, 10000, progress.bar = "none")
  iter <- as.integer(Sys.getenv("ITER", "30000"))
  took <- system.time(z <- coda.samples(m, c("mur", "muk", "phi", "omega", "sigma", "logr", "logK", "x"), iter, thin = 20, progress.bar = "none"))[["elapsed"]]
  asked <- c(sprintf("logr[%d]", seq_len(nrow(b))), sprintf("logK[%d]", seq_len(nrow(b))),
    sprintf("x[%d]", cumsum(tabulate(bed))))
  # effective draws of r, K and stock a second: smallest over the beds, without the time of adaptation and burn-in
  message(sprintf("speed %s: %.1f effective draws a second", case, min(effectiveSize(z[, asked])) / took))
  all <- as.matrix(z)
  for (name in colnames(all)) {
    v <- all[, name]
    cat(sprintf("%s,%s,%.5f,%.5f,%.5f,%.5f,%.5f,%.0f\n", case, name, mean(v), sd(v), quantile(v, 0.05), quantile(v, 0.5),
      quantile(v, 0.95), effectiveSize(z[, name])))
  }
}
