# growth.R: the hierarchical state-space model of bedstock's growth, for stages.R, as one would write it in R with rjags. The
# model is that of model/growth/testdata/pool_model.R, which the tests hold bedstock's sampler against. The priors, spreads and
# storms are bedstock's. Each survey has a ratio of weight to cover of its own here, so that surveys share no error. Four chains of
# 1000 draws, after 1000 sweeps of adaptation and 1000 of burn-in; species run side by side on all cores.
suppressPackageStartupMessages(library(rjags))
source("model/growth/testdata/pool_model.R")

# sampled is the posterior of a species over its beds: surveys are its rows of bed, date, kg, cv, psu, found_psu, occ and area, in
# this order of bed and date; events, the cuts and storms of these beds (bed, date, kg, left); plots, r and its se; prior, the
# medians r and k and their log sds.
sampled <- function(surveys, events, plots, prior) {
  years <- function(date) as.numeric(date) / 365.25
  beds <- unique(surveys$bed)
  bed <- match(surveys$bed, beds)
  mean_of <- function(x) as.vector(tapply(x, bed, mean))
  area <- mean_of(surveys$area)
  at <- which(surveys$kg > 0)
  dense <- tapply((surveys$kg * surveys$psu / surveys$found_psu / surveys$area)[at], factor(bed[at], seq_along(beds)), mean)
  dense[is.na(dense)] <- prior$k
  told <- if (nrow(plots)) list(yp = log(plots$r), sep = plots$se / plots$r) else list(yp = NA, sep = 1) # NA says nothing
  events <- data.frame(bed = match(events$bed, beds), t = years(events$date), kg = events$kg, left = events$left)
  data <- c(pool_ways(bed, years(surveys$date), events), list(n = length(bed), nf = length(at), M = length(beds), bed = bed,
    first = match(seq_along(beds), bed), off = log(area * mean_of(surveys$occ)), area = area, dense = as.vector(dense),
    psu = surveys$psu, found = as.numeric(surveys$kg > 0), at = at, y = log(surveys$kg[at]), cv = surveys$cv[at],
    df = pmax(surveys$found_psu[at] - 1, 1), shared = numeric(length(at)), P = length(told$yp), yp = told$yp, sep = told$sep,
    mr = log(prior$r), vr = prior$sd_r^2, mk = log(prior$k), vk = prior$sd_k^2,
    scale_r = 0.3, scale_k = 0.5, scale_noise = 0.3, chance = 0.1, survival = 0.7))
  start <- lapply(1:4, function(i) list(x = log(pmax(surveys$kg, 1)) + 0.3, sigma = 0.2, mur = data$mr, muk = data$mk, phi = 0.2,
    omega = 0.3, .RNG.name = "base::Mersenne-Twister", .RNG.seed = i))
  m <- jags.model(textConnection(pool_model()), data, start, n.chains = 4, n.adapt = 1000, quiet = TRUE)
  update(m, 1000, progress.bar = "none")
  z <- coda.samples(m, c("mur", "muk", "phi", "omega", "sigma", "logr", "logK", "x"), 1000, progress.bar = "none")
  all <- as.matrix(z)
  last <- cumsum(tabulate(bed))
  of_bed <- function(b) {
    logs <- all[, c(sprintf("logr[%d]", b), sprintf("logK[%d]", b), sprintf("x[%d]", last[b]))]
    colnames(logs) <- c("r", "K", "b")
    exp(logs)
  }
  draws <- lapply(seq_along(beds), of_bed)
  names(draws) <- beds
  list(draws = draws, ess = min(effectiveSize(z)), rhat = max(gelman.diag(z, multivariate = FALSE)$psrf[, 1]))
}

# of_all is [sampled] for each species side by side; run gives its four tables. It prints the smallest effective size and the largest
# R-hat of all, and adds what the other processes took to besides.
besides <- 0
of_all <- function(species, stage, run) {
  cores <- parallel::detectCores()
  out <- parallel::mclapply(species, function(name) {
    before <- sum(proc.time()[1:2])
    c(do.call(sampled, run(name)), seconds = sum(proc.time()[1:2]) - before)
  }, mc.cores = cores, mc.preschedule = FALSE)
  failed <- Filter(function(x) inherits(x, "try-error"), out)
  if (length(failed)) stop(failed[[1]])
  names(out) <- species
  if (cores > 1) besides <<- besides + sum(sapply(out, `[[`, "seconds"))
  cat(sprintf("reached %s %.0f %.3f\n", stage, min(sapply(out, `[[`, "ess")), max(sapply(out, `[[`, "rhat"))))
  lapply(out, `[[`, "draws")
}
