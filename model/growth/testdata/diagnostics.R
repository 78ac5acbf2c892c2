# R-hat and effective sizes by the R package posterior 1.4.0, for diagnostics_test.go.
# Run: Rscript diagnostics.R   (writes diagnostics_chains.csv and diagnostics.csv)
suppressMessages(library(posterior))
set.seed(1)
n <- 200
ar <- function(a, m = 0) { x <- numeric(n); for (i in 2:n) x[i] <- a * x[i - 1] + rnorm(1); round(x + m, 6) }
cases <- list(
  white = sapply(1:4, function(i) ar(0)),
  slow = sapply(1:4, function(i) ar(0.8)),
  shifted = sapply(1:4, function(i) ar(0.3, i / 3)),
  scaled = sapply(1:4, function(i) round(i * ar(0.3), 6)),
  heavy = sapply(1:2, function(i) round(rcauchy(n), 6)),
  tied = sapply(1:3, function(i) round(ar(0.5))),
  odd = sapply(1:2, function(i) ar(0.5))[1:151, ],
  opposed = sapply(1:4, function(i) ar(-0.6)))
write.csv(do.call(rbind, lapply(names(cases), function(k) data.frame(case = k, chain = c(col(cases[[k]])),
  x = c(cases[[k]])))), "diagnostics_chains.csv", row.names = FALSE, quote = FALSE)
out <- data.frame(case = names(cases), rhat = sapply(cases, rhat), bulk = sapply(cases, ess_bulk),
  tail = sapply(cases, ess_tail))
out[-1] <- lapply(out[-1], function(v) sprintf("%.10g", v))
write.csv(out, "diagnostics.csv", row.names = FALSE, quote = FALSE)
