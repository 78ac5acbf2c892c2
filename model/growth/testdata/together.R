# Random effects on log r by R package metafor 3.8.1: what Together is held against. Writes together.csv (the values) and
# together_R.csv. "bcg" is dat.bcg of metafor (Colditz et al. 1994), the others are invented plots.
suppressMessages(library(metafor))
bcg <- escalc(measure = "RR", ai = tpos, bi = tneg, ci = cpos, di = cneg, data = dat.bcg)
sets <- list(
  bcg = data.frame(y = as.numeric(bcg$yi), se = sqrt(bcg$vi)),
  alike = data.frame(y = log(c(0.41, 0.44, 0.39, 0.42, 0.40)), se = c(0.15, 0.22, 0.18, 0.3, 0.12)),
  spread = data.frame(y = log(c(0.31, 0.78, 0.52, 0.95, 0.44, 0.60, 0.36)), se = c(0.12, 0.2, 0.09, 0.3, 0.14, 0.18, 0.25)),
  odd = data.frame(y = log(c(0.82, 0.9, 0.77, 0.95, 0.86, 0.8, 0.22, 0.88)), se = c(0.1, 0.12, 0.09, 0.15, 0.11, 0.2, 0.13, 0.1)),
  three = data.frame(y = log(c(0.5, 0.9, 0.7)), se = c(0.1, 0.15, 0.4)),
  two = data.frame(y = log(c(0.4, 0.8)), se = c(0.12, 0.2)))
set.seed(5)
many <- exp(rnorm(40, log(0.4), 0.25))
sets$many <- data.frame(y = round(log(many) + rnorm(40, 0, 0.2), 4), se = round(runif(40, 0.1, 0.3), 3))

data <- do.call(rbind, lapply(names(sets), function(n) data.frame(set = n, y = sprintf("%.17g", sets[[n]]$y),
                                                                  se = sprintf("%.17g", sets[[n]]$se))))
write.csv(data, "together.csv", row.names = FALSE, quote = FALSE)
out <- NULL
put <- function(set, name, value) out <<- rbind(out, data.frame(set = set, name = name, value = sprintf("%.10g", value)))
tight <- list(threshold = 1e-14, maxiter = 10000, tol = 1e-13)
for (n in names(sets)) {
  d <- sets[[n]]
  fit <- function(test, keep = TRUE) rma(d$y[keep], sei = d$se[keep], method = "REML", test = test, control = tight)
  m <- fit("z")
  put(n, "mean", m$b); put(n, "se", m$se); put(n, "tau2", m$tau2)
  put(n, "q", m$QE); put(n, "qp", m$QEp); put(n, "i2", m$I2 / 100)
  put(n, "lo", m$ci.lb); put(n, "hi", m$ci.ub)
  q <- suppressMessages(confint(m, control = list(tol = 1e-13, tau2.max = 1e4)))$random["tau^2", ]
  put(n, "tau2 lo", q[["ci.lb"]]); put(n, "tau2 hi", q[["ci.ub"]])
  hk <- fit("adhoc")
  put(n, "hk lo", hk$ci.lb); put(n, "hk hi", hk$ci.ub)
  half <- qt(0.975, max(1, nrow(d) - 2)) * sqrt(hk$se^2 + m$tau2) # Higgins et al. 2009; predict() has one more df
  put(n, "next lo", hk$b - half); put(n, "next hi", hk$b + half)
  if (nrow(d) > 2) {
    z <- sapply(seq_len(nrow(d)), function(i) { # rstudent refits with its own control
      o <- fit("z", -i)
      (d$y[i] - o$b) / sqrt(d$se[i]^2 + o$tau2 + o$se^2)
    })
    for (i in seq_along(z)) put(n, paste("deleted", i), z[i])
    r <- rstudent(m)$z
    stopifnot(max(abs(r - z)) < 1e-6)
  }
}
write.csv(out, "together_R.csv", row.names = FALSE, quote = FALSE)
