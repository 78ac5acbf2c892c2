# Reference values for two-phase estimates and conversions to weight, by R's package survey, lm and nls.
# Run: Rscript convert.R     Writes weighed.csv, fronds.csv (invented data) and convert_R.csv (results).
# Run with R 4.2.2 and survey 4.1.1.
suppressMessages(library(survey))
set.seed(20267)
out <- data.frame(name = character(), value = numeric())
put <- function(name, value) out[nrow(out) + 1, ] <<- list(name, as.numeric(value))

# A two-phase survey: 8 transects of 6 quadrats, some without the species, some weighed; kg/m2 bends upwards with cover.
d <- data.frame(transect = paste0("T", rep(1:8, each = 6)), quadrat = paste0("q", 1:48))
tr <- setNames(rnorm(8, 0, 0.4), unique(d$transect))
d$cover <- pmin(100, round(rgamma(48, 2, 2 / (35 * exp(tr[d$transect])))) + 1)
d$cover[runif(48) < 0.2] <- 0
d$length <- round(30 * exp(0.3 * rnorm(48)) * (1 + d$cover / 200), 1)
d$m2 <- sample(c(0.25, 0.5), 48, replace = TRUE)
d$kg <- round(0.02 * d$cover^1.3 * exp(0.25 * tr[d$transect] + rnorm(48, 0, 0.2)), 4) # kg/m2
d$weighed <- as.integer(d$cover > 0 & runif(48) < 0.6)
write.csv(d, "weighed.csv", row.names = FALSE, quote = FALSE)
area <- 5000
d$w <- area * d$m2 / sum(d$m2)
holds <- d$cover > 0
two <- d[d$weighed == 1, ]
put("n", nrow(two)); put("units", length(unique(two$transect)))

# Models fitted with the design weights, each weighed quadrat left out in turn.
loo <- function(fit) mean(sapply(seq_len(nrow(two)), function(i) (two$kg[i] - fit(two[-i, ], two[i, ]))^2))
ratio <- function(t, at, x = "cover") sum(t$w * t$kg) / sum(t$w * t[[x]]) * at[[x]]
two$xl <- two$cover * two$length
put("ratio loo", loo(ratio)); put("ratio-length loo", loo(function(t, at) ratio(t, at, "xl")))
put("ratio k", sum(two$w * two$kg) / sum(two$w * two$cover)); put("ratio-length k", sum(two$w * two$kg) / sum(two$w * two$xl))
l <- lm(kg ~ cover, two, weights = w)
put("linear a", coef(l)[1]); put("linear b", coef(l)[2])
put("linear loo", loo(function(t, at) predict(lm(kg ~ cover, t, weights = w), at)))
p <- lm(log(kg) ~ log(cover), two, weights = w)
e <- resid(p)
put("power a", exp(coef(p)[1])); put("power b", coef(p)[2])
put("power smearing", weighted.mean(exp(e), two$w))
put("power baskerville", exp(sum(two$w * e^2) / mean(two$w) / (nrow(two) - 2) / 2))
put("power loo", loo(function(t, at) { q <- lm(log(kg) ~ log(cover), t, weights = w)
  exp(predict(q, at)) * weighted.mean(exp(resid(q)), t$w) }))
# nls started at the log-log fit: another criterion, but near it (no equality is asked for).
put("nls b", coef(nls(kg ~ a * cover^b, two, start = list(a = exp(coef(p)[[1]]), b = coef(p)[[2]]), weights = w))[2])

# Generalised regression: weighed quadrats clustered by transect, calibrated to phase one's number and cover of the quadrats
# that hold the species. The standard error is that given phase one.
des <- svydesign(ids = ~transect, weights = ~w, data = two)
g <- calibrate(des, ~cover, population = c(`(Intercept)` = sum(d$w[holds]), cover = sum(d$w * d$cover)))
t <- svytotal(~kg, g)
put("greg total", coef(t)); put("greg se", SE(t))
# The difference estimate with the power model: predictions over phase one plus the mean residual, and its first-order error
# given phase one by the sandwich of all estimating equations (differenced numerically).
total <- function(w2) { q <- lm(log(kg) ~ log(cover), two, weights = w2)
  s <- weighted.mean(exp(resid(q)), w2); m <- function(x) exp(coef(q)[1]) * s * x^coef(q)[2]
  W <- sum(d$w[holds]); sum(d$w[holds] * m(d$cover[holds])) + W * sum(w2 * (two$kg - m(two$cover))) / sum(w2) }
put("power total", total(two$w))
psi <- sapply(seq_len(nrow(two)), function(i) { h <- 1e-4; up <- two$w; up[i] <- up[i] * (1 + h)
  dn <- two$w; dn[i] <- dn[i] * (1 - h); (total(up) - total(dn)) / (2 * h) })
c <- tapply(psi, two$transect, sum); k <- length(c)
put("power se", sqrt(k / (k - 1) * sum(c^2) * (nrow(two) - 1) / (nrow(two) - 2)))

# Two phases of simple random samples (invented): 20 quadrats with cover, 8 weighed.
x <- c(5, 12, 20, 28, 33, 40, 45, 52, 58, 63, 70, 76, 81, 88, 95, 98, 15, 37, 60, 84)
at <- match(c(12, 33, 52, 70, 88, 15, 60, 84), x)
y <- rep(NA, 20); y[at] <- c(.9, 2.6, 4.1, 5.2, 7.3, 1.3, 4.4, 6.9)
s <- data.frame(x, y = ifelse(is.na(y), 0, y), sub = !is.na(y), id = 1:20, N = 1e9)
for (how in c("full", "approx")) {
  tp <- twophase(id = list(~id, ~id), subset = ~sub, data = s, method = how)
  r <- svyratio(~y, ~x, tp)
  put(paste("two-phase", how, "ratio"), coef(r)); put(paste("two-phase", how, "ratio se"), SE(r))
  m <- svymean(~y, tp)
  put(paste("two-phase", how, "mean"), coef(m)); put(paste("two-phase", how, "mean se"), SE(m))
  cal <- calibrate(tp, ~x, phase = 2)
  m <- svymean(~y, cal)
  put(paste("two-phase", how, "regression"), coef(m))
  put(paste("two-phase", how, "regression phase 2"), attr(vcov(m), "phases")$phase2)
}

# Double sampling for stratification from a population of 284: 160 drawn, 40 in each of 4 classes, 20 of each measured. The
# values are spread so that means and variances are those of the exercise.
z <- as.vector(scale(rnorm(20)))
h <- rep(1:4, each = 40)
mu <- c(17.05, 19.75, 22.40, 31.25); s2 <- c(19.945, 24.197, 28.359, 42.829)
y <- unlist(lapply(1:4, function(i) c(mu[i] + sqrt(s2[i]) * z, rep(0, 20))))
ds <- data.frame(h, y, sub = rep(rep(c(TRUE, FALSE), each = 20), 4), id = 1:160, N = 284)
tp <- twophase(id = list(~id, ~id), strata = list(NULL, ~h), fpc = list(~N, NULL), subset = ~sub, data = ds, method = "full")
t <- svytotal(~y, tp)
put("double total", coef(t)); put("double se", SE(t))

# Subsampling within transects: 6 of 20 transects of unequal size, part of the quadrats of each measured.
M <- c(8, 12, 10, 6, 9, 14); m <- c(3, 5, 4, 2, 3, 6)
st <- data.frame(psu = rep(1:6, m), M = rep(M, m), N = 20)
st$ssu <- seq_len(nrow(st)); st$y <- round(rgamma(nrow(st), 3, 3 / rep(c(2, 4, 3, 1, 5, 3), m)), 3)
write.csv(st[c("psu", "M", "y")], "stages.csv", row.names = FALSE, quote = FALSE)
t <- svymean(~y, svydesign(ids = ~psu + ssu, fpc = ~N + M, data = st))
put("stages mean", coef(t)); put("stages se", SE(t))
st$w <- st$M / ave(st$y, st$psu, FUN = length)
t <- svymean(~y, svydesign(ids = ~psu, weights = ~w, data = st))
put("stages mean without correction", coef(t)); put("stages se without correction", SE(t))

# Do beds differ? Where cover is the same everywhere the ratios are means, and Welch's test is oneway.test.
b <- data.frame(bed = rep(1:4, c(5, 7, 6, 9)))
b$y <- round(rnorm(27, c(2, 2.4, 2.1, 3)[b$bed], c(0.3, 0.5, 0.4, 0.9)[b$bed]), 3)
write.csv(b, "beds.csv", row.names = FALSE, quote = FALSE)
t <- oneway.test(y ~ bed, b)
put("welch f", t$statistic); put("welch df", t$parameter[2]); put("welch p", t$p.value)
v <- tapply(b$y, b$bed, var) / tapply(b$y, b$bed, length); k <- tapply(b$y, b$bed, mean)
put("cochran q", sum((k - sum(k / v) / sum(1 / v))^2 / v))

# Fronds: weight on length, to sum over quadrats.
f <- data.frame(quadrat = rep(1:12, c(3, 5, 2, 4, 6, 3, 4, 2, 5, 3, 4, 3)))
f$cm <- round(25 * exp(rnorm(nrow(f), 0, 0.4)), 1)
f$g <- round(0.02 * f$cm^2.1 * exp(rnorm(12, 0, 0.15)[f$quadrat] + rnorm(nrow(f), 0, 0.2)), 2)
write.csv(f, "fronds.csv", row.names = FALSE, quote = FALSE)
p <- lm(log(g) ~ log(cm), f)
put("frond a", exp(coef(p)[1])); put("frond b", coef(p)[2]); put("frond s2", summary(p)$sigma^2)
put("frond smearing", mean(exp(resid(p)))); put("frond baskerville", exp(summary(p)$sigma^2 / 2))
# Sandwich variance of b between quadrats.
X <- model.matrix(p); B <- solve(crossprod(X)); s <- rowsum(X * resid(p), f$quadrat)
put("frond b se", sqrt((B %*% crossprod(s) %*% B)[2, 2] * 12 / 11 * (nrow(f) - 1) / (nrow(f) - 2)))
put("frond quadrat 5 g", sum(exp(predict(p))[f$quadrat == 5]) * mean(exp(resid(p))))

write.table(data.frame(name = out$name, value = format(out$value, digits = 17, trim = TRUE)), "convert_R.csv",
  sep = ",", row.names = FALSE, quote = FALSE)
