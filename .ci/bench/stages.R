# stages.R FOLDER: reading, stocks, plot fits and offtake of a folder of .ci/bench/coast as one would write them in R with
# data.table, survey and nls. It prints "stage NAME WALL CPU" for each, as the stages of the program are printed.
suppressPackageStartupMessages({library(data.table); library(survey)})
folder <- commandArgs(TRUE)[1]
options(survey.lonely.psu = "adjust")
clock <- proc.time()
lap <- function(stage) {
  now <- proc.time()
  cat(sprintf("stage %s %.4f %.4f\n", stage, now[[3]] - clock[[3]], sum(now[1:2]) - sum(clock[1:2])))
  clock <<- proc.time()
}

q <- fread(file.path(folder, "quadrats.csv"))
strata <- fread(file.path(folder, "strata.csv"))
regrowth <- fread(file.path(folder, "regrowth.csv"))
lap("read")

# A stock a bed, species and survey: transects within strata are the units; the ratio of weight to cover of the quadrats
# weighed carries cover into weight.
q[strata, area := i.area_m2, on = c("bed", "stratum")]
q[, `:=`(x = cover_pct, y = biomass_g / 1000 / quadrat_m2)]
q[, places := uniqueN(paste(transect, quadrat)), by = .(bed, date, stratum)]
q[, w := area / places]
stocks <- q[, {
  d <- svydesign(ids = ~transect, strata = ~stratum, weights = ~w, nest = TRUE, data = .SD)
  total <- svytotal(~x, d)
  weighed <- subset(d, !is.na(y))
  if (sum(.SD$x[!is.na(.SD$y)]) > 0) {
    k <- svyratio(~y, ~x, weighed)
    kg <- coef(k)[[1]] * coef(total)[[1]]
    list(kg = kg, se = sqrt((coef(k)[[1]] * SE(total)[1])^2 + (coef(total)[[1]] * SE(k)[1])^2))
  } else list(kg = NA_real_, se = NA_real_)
}, by = .(bed, species, date)]
lap("stock")

fits <- regrowth[event == "measure", {
  t <- as.numeric(date - date[1]) / 365.25
  f <- tryCatch(nls(log(biomass_g) ~ log(K) - log1p((K / b0 - 1) * exp(-r * t)),
    start = list(K = 1.2 * max(biomass_g), b0 = biomass_g[1], r = 1)), error = function(e) NULL)
  if (is.null(f)) list(r = NA_real_, se = NA_real_) else list(r = coef(f)[["r"]], se = sqrt(vcov(f)["r", "r"]))
}, by = .(plot, species)]
lap("plots")

# Offtake: 4000 draws of r, K and stock; the largest yearly fraction with which in no one of ten years more than 5 % of the
# draws lie below a fifth of K, by halving. Storms: one in ten years, leaving 0.7.
set.seed(1)
last <- stocks[order(date), .SD[.N], by = .(bed, species)]
offtake <- function(kg, se) {
  if (!is.finite(kg) || !is.finite(se) || kg <= 0) return(NA_real_)
  n <- 4000; years <- 10
  r <- 0.7 * exp(0.3 * rnorm(n)); K <- kg / 0.7 * exp(0.25 * rnorm(n)); b <- pmax(rnorm(n, kg, se), 1e-9)
  noise <- matrix(exp(0.2 * rnorm(n * years)), n); storm <- matrix(ifelse(runif(n * years) < 0.1, 0.7, 1), n)
  lo <- 0; hi <- 0.9
  for (i in 1:12) {
    f <- (lo + hi) / 2; s <- b; worst <- 0
    for (y in 1:years) {
      s <- s * (1 - f)
      s <- K / (1 + (K / s - 1) * exp(-r)) * noise[, y] * storm[, y]
      worst <- max(worst, mean(s < 0.2 * K))
    }
    if (worst <= 0.05) lo <- f else hi <- f
  }
  lo * kg
}
advice <- mapply(offtake, last$kg, last$se)
lap("offtake")
cat(sprintf("stocks %d, fits %d, advice %d\n", sum(is.finite(stocks$kg)), sum(is.finite(fits$r)), sum(is.finite(advice))))
