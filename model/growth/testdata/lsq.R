# What follows from a least-squares fit, by R 4.2.2 (packages stats, MASS, boot), for the tests of Fit's methods.
# Rscript lsq.R > lsq.csv
suppressMessages({ library(MASS); library(boot) })
out <- function(case, what, values) for (i in seq_along(values))
  cat(sprintf("%s,%s,%d,%.12g\n", case, what, i, values[i]))
cat("case,what,i,value\n")
sharp <- nls.control(tol = 1e-9, maxiter = 500, minFactor = 1e-12, warnOnly = TRUE)
fit <- function(form, data, start, w = rep(1, nrow(data)), control = sharp) {
  data$w <- w
  f <- suppressWarnings(nls(form, data, start, control = control, weights = w))
  f$given <- list(form, data)
  f
}

yeast <- data.frame(t = 0:18, y = c(9.6, 18.3, 29.0, 47.2, 71.1, 119.1, 174.6, 257.3, 350.7, 441.0, 513.3, 559.7,
  594.8, 629.4, 640.8, 651.1, 655.9, 659.6, 661.8))
natural <- y ~ K / (1 + (K / N0 - 1) * exp(-r * t))
plain <- fit(natural, yeast, list(K = 663, r = 0.547, N0 = 9.1))
fits <- list(
  yeast = plain,
  yeastw = fit(natural, yeast, list(K = 663, r = 0.547, N0 = 9.1), w = 1 / yeast$y),
  Orange2 = fit(y ~ SSlogis(x, Asym, xmid, scal), with(Orange[Orange$Tree == 2, ],
    data.frame(x = age, y = circumference)), list(Asym = 219, xmid = 700, scal = 332)),
  DNase1 = fit(y ~ SSlogis(x, Asym, xmid, scal), with(DNase[DNase$Run == 1, ],
    data.frame(x = log(conc), y = density)), list(Asym = 2.3, xmid = 1.5, scal = 1)),
  Loblolly301 = fit(y ~ SSgompertz(x, Asym, b2, b3), with(Loblolly[Loblolly$Seed == 301, ],
    data.frame(x = age, y = height)), list(Asym = 67, b2 = 3.7, b3 = 0.87)),
  LoblollyRise301 = fit(y ~ SSasymp(x, Asym, R0, lrc), with(Loblolly[Loblolly$Seed == 301, ],
    data.frame(x = age, y = height)), list(Asym = 96, R0 = -9, lrc = -3.1)),
  ChickWeight6 = fit(y ~ SSlogis(x, Asym, xmid, scal), with(ChickWeight[ChickWeight$Chick == 6, ],
    data.frame(x = Time, y = weight)), list(Asym = 168, xmid = 6.2, scal = 4.2)),
  Puromycin = fit(y ~ b1 * x / (b2 + x), with(Puromycin[Puromycin$state == "treated", ],
    data.frame(x = conc, y = rate)), list(b1 = 212, b2 = 0.064)))
# Limits where the profile t is its quantile, each found for itself; confint() interpolates the profile on a grid, and is
# printed beside them.
limit <- function(f, j, level) {
  best <- coef(f); s2 <- deviance(f) / df.residual(f); q <- qt((1 + level) / 2, df.residual(f))
  form <- f$given[[1]][[3]]; data <- as.list(f$given[[2]])
  rss <- function(p) {
    v <- sum(data$w * (data$y - as.numeric(eval(form, c(as.list(p), data))))^2)
    if (is.finite(v)) v else 1e12
  }
  tau <- function(v) {
    scale <- abs(best[-j])
    g <- function(z) { p <- best; p[j] <- v; p[-j] <- z * scale; rss(p) }
    z <- best[-j] / scale
    for (k in 1:3) z <- optim(z, g, control = list(maxit = 2000, reltol = 1e-15))$par
    sqrt(max(0, optim(z, g, method = "BFGS", control = list(reltol = 1e-15, maxit = 1000))$value - deviance(f)) / s2) - q
  }
  se <- sqrt(vcov(f)[j, j])
  sapply(c(-1, 1), function(s) {
    far <- 1.5 * q
    while (tau(best[j] + s * far * se) < 0 && far < 60) far <- 1.5 * far
    uniroot(tau, sort(best[j] + s * c(0.2, far) * se), tol = 1e-8 * se)$root
  })
}
for (name in names(fits)) {
  f <- fits[[name]]
  n <- length(resid(f)); k <- length(coef(f)) + 1
  out(name, "loglik", as.numeric(logLik(f)))
  out(name, "aicc", AIC(f) + 2 * k * (k + 1) / (n - k - 1))
  out(name, "corr", cov2cor(vcov(f))[lower.tri(vcov(f))])
  tangent <- lm(f$m$resid() ~ 0 + f$m$gradient())   # both times the roots of the weights
  out(name, "leverage", hatvalues(tangent))
  out(name, "standardized", rstandard(tangent))
  out(name, "deleted", rstudent(tangent))
  # profile() itself fails where rounding stops its fits, so from a looser one
  loose <- fit(f$given[[1]], f$given[[2]], as.list(coef(f)), f$given[[2]]$w, nls.control(maxiter = 500))
  ci <- suppressMessages(suppressWarnings(tryCatch(confint(profile(loose, delta.t = 0.25)),
    error = function(e) confint(loose))))   # where the finer grid fails, the usual one
  for (j in seq_along(coef(f))) {
    out(name, paste0("confint", j), ci[j, ])
    out(name, paste0("limit", j), limit(f, j, 0.95))
  }
}
# Lack of fit against the means of repeated values.
for (name in c("DNase1", "Puromycin")) {
  f <- fits[[name]]
  data <- if (name == "DNase1") DNase[DNase$Run == 1, ] else Puromycin[Puromycin$state == "treated", ]
  means <- if (name == "DNase1") lm(density ~ factor(conc), data) else lm(rate ~ factor(conc), data)
  pure <- deviance(means); dfp <- df.residual(means); df <- df.residual(f) - dfp
  F <- ((deviance(f) - pure) / df) / (pure / dfp)
  out(name, "lack", c(deviance(f) - pure, pure, df, dfp, F, pf(F, df, dfp, lower.tail = FALSE)))
}
# Runs: every order of m signs of one kind and n of the other, counted one by one.
for (mn in list(c(3, 4), c(5, 8), c(2, 9), c(7, 7))) {
  m <- mn[1]; n <- mn[2]
  runs <- apply(combn(m + n, m), 2, function(at) { s <- rep(0, m + n); s[at] <- 1; 1 + sum(diff(s) != 0) })
  top <- 2 * min(m, n) + 1
  out(paste0("runs", m, "of", n), "few", sapply(2:top, function(r) mean(runs <= r)))
  out(paste0("runs", m, "of", n), "p", sapply(2:top, function(r) min(1, 2 * mean(runs <= r), 2 * mean(runs >= r))))
}
# Case bootstrap of the yeast: resamples by the generator x -> 16807 x mod 2^31 - 1 from 1, so that anyone can draw them.
R <- 999; n <- nrow(yeast); x <- 1
refit <- function(d) coef(fit(natural, d, as.list(coef(plain))))
t <- matrix(0, R, 3)
for (i in 1:R) {
  rows <- integer(n)
  for (k in 1:n) { x <- (16807 * x) %% 2147483647; rows[k] <- floor(x / 2147483647 * n) + 1 }
  t[i, ] <- refit(yeast[rows, ])
}
jack <- t(sapply(1:n, function(i) refit(yeast[-i, ])))
b <- structure(list(t0 = coef(plain), t = t, R = R, data = yeast, sim = "ordinary", stype = "i", strata = rep(1, n),
  weights = rep(1 / n, n), call = quote(boot(yeast, refit, R))), class = "boot")
for (j in 1:3) for (level in c(0.8, 0.95)) {
  ci <- boot.ci(b, conf = level, type = c("perc", "bca"), index = j, L = (n - 1) * (coef(plain)[j] - jack[, j]))
  out("boot", paste0("p", j, "at", level), c(ci$percent[4:5], ci$bca[4:5]))
}
