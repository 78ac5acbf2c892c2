# Reference values for the design-based estimators, by R's package survey.
# Run: Rscript survey.R     Writes nested.csv, crossing.csv, lonely.csv (invented data) and survey_R.csv (results).
# Run with R 4.2.2 and survey 4.1.1.
library(survey)
set.seed(20251)
out <- data.frame(name = character(), value = numeric())
put <- function(name, value) out[nrow(out) + 1, ] <<- list(name, as.numeric(value))

make <- function(cells, sizes) {
  d <- do.call(rbind, lapply(seq_len(nrow(cells)), function(i) with(cells[i, ], data.frame(
    stratum = stratum, transect = transect, quadrat = seq_len(n), shift = shift))))
  d$m2 <- sample(sizes, nrow(d), replace = TRUE)
  tr <- setNames(rnorm(length(unique(d$transect)), 0, 0.5), unique(d$transect))
  mu <- 40 * exp(d$shift + tr[d$transect])
  d$cover <- pmin(100, round(rgamma(nrow(d), 2, 2 / mu)))
  d$cover[runif(nrow(d)) < 0.25] <- 0
  d$kg <- round(0.06 * d$cover^1.1 * exp(rnorm(nrow(d), 0, 0.25)), 3) # kg/m2
  d$weighed <- as.integer(runif(nrow(d)) < 0.5)
  d$shift <- NULL
  d
}
areas <- data.frame(stratum = c("high", "low", "mid"), area = c(900, 2500, 1600))

# Transects within strata, quadrats and sizes unequal.
nested <- make(data.frame(stratum = rep(c("high", "mid", "low"), c(4, 5, 6)), transect = paste0("T", 1:15),
  n = c(3, 4, 5, 4, 6, 5, 3, 4, 5, 6, 6, 4, 5, 3, 4), shift = rep(c(-0.7, 0, 0.4), c(4, 5, 6))), c(0.25, 0.5, 1))
# Transects that run through all three strata, but the last two.
cells <- expand.grid(stratum = c("high", "mid", "low"), transect = paste0("T", 1:7), stringsAsFactors = FALSE)
cells <- cells[!(cells$transect %in% c("T6", "T7") & cells$stratum == "high"), ]
cells$n <- rep_len(c(2, 3, 4, 3), nrow(cells))
cells$shift <- c(high = -0.7, mid = 0, low = 0.4)[cells$stratum]
crossing <- make(cells, c(0.25, 0.5))
# Equal quadrats and equal transects; stratum high has one transect.
lonely <- make(data.frame(stratum = rep(c("high", "mid", "low"), c(1, 4, 4)), transect = paste0("T", 1:9), n = 5,
  shift = rep(c(-0.7, 0, 0.4), c(1, 4, 4))), 0.25)
for (n in c("nested", "crossing", "lonely")) write.csv(get(n), paste0(n, ".csv"), row.names = FALSE, quote = FALSE)

# Total of separate ratios to size: sum over strata of area * sum(y m2)/sum(m2), with its design variance.
separate <- function(d, y, strata) {
  d$num <- d[[y]] * d$m2
  d$w <- 1
  des <- if (strata) svydesign(ids = ~transect, strata = ~stratum, weights = ~w, data = d)
         else svydesign(ids = ~transect, weights = ~w, data = d)
  by <- svyby(~num, ~stratum, des, svyratio, denominator = ~m2, covmat = TRUE)
  a <- areas$area[match(as.character(by$stratum), areas$stratum)]
  c(total = sum(a * coef(by)), se = sqrt(drop(t(a) %*% vcov(by) %*% a)), df = degf(des))
}
for (y in c("cover", "kg")) {
  r <- separate(nested, y, TRUE)
  for (n in names(r)) put(paste("nested", y, n), r[[n]])
  r <- separate(crossing, y, FALSE)
  for (n in names(r)) put(paste("crossing", y, n), r[[n]])
}

# Weights area * m2 / sum(m2); with equal sizes svytotal is the same estimator. Design effect with replacement.
weigh <- function(d) areas$area[match(d$stratum, areas$stratum)] * d$m2 / ave(d$m2, d$stratum, FUN = sum)
two <- subset(lonely, stratum != "high")
two$w <- weigh(two)
t <- svytotal(~kg, svydesign(ids = ~transect, strata = ~stratum, weights = ~w, data = two), deff = "replace")
put("equal kg total", coef(t)); put("equal kg se", SE(t)); put("equal kg deff", deff(t))
two$w <- weigh(two)
t <- svytotal(~kg, svydesign(ids = ~1, strata = ~stratum, weights = ~w, data = two), deff = "replace")
put("quadrats kg total", coef(t)); put("quadrats kg se", SE(t)); put("quadrats kg deff", deff(t))

# One transect in a stratum: the mean, times the (known) area.
lonely$w <- weigh(lonely)
for (how in c("adjust", "average", "certainty")) {
  options(survey.lonely.psu = how)
  m <- svymean(~kg, svydesign(ids = ~transect, strata = ~stratum, weights = ~w, data = lonely))
  put(paste("lonely", how, "total"), coef(m) * sum(areas$area)); put(paste("lonely", how, "se"), SE(m) * sum(areas$area))
}
options(survey.lonely.psu = "fail")

# Ratio kg per percent cover over the weighed quadrats, clustered by transect.
nested$w <- weigh(nested)
sub <- subset(nested, weighed == 1 & cover > 0)
r <- svyratio(~kg, ~cover, svydesign(ids = ~transect, weights = ~w, data = sub))
put("ratio k", coef(r)); put("ratio se", SE(r)); put("ratio n", nrow(sub)); put("ratio units", length(unique(sub$transect)))

# Between-bed variance by restricted maximum likelihood, maximised directly.
k <- c(0.061, 0.094, 0.048, 0.073, 0.082, 0.055); v <- c(1.2, 2.5, 0.8, 1.9, 3.1, 0.6) * 1e-5
reml <- function(t) { w <- 1 / (v + t); m <- sum(w * k) / sum(w)
  -0.5 * sum(log(v + t)) - 0.5 * log(sum(w)) - 0.5 * sum(w * (k - m)^2) }
put("reml tau2", optimize(reml, c(0, 0.01), maximum = TRUE, tol = 1e-14)$maximum)
w <- 1 / v; m <- sum(w * k) / sum(w)
put("moment tau2", (sum(w * (k - m)^2) - (length(k) - 1)) / (sum(w) - sum(w^2) / sum(w)))

# Student's t and quantiles of type 7.
put("t 0.975 df 7.3", qt(0.975, 7.3)); put("t 0.975 df Inf", qt(0.975, Inf))
q <- quantile(c(3, 1, 4, 1, 5, 9, 2, 6, 5, 3), c(0, 0.1, 0.25, 0.5, 0.83, 1), names = FALSE)
for (i in seq_along(q)) put(paste("quantile", i), q[i])

# Exploitable share of lognormal fronds, by numerical integration.
share <- function(m, s, b, c, leave) { mu <- log(m) - s^2 / 2
  f <- function(l) (l^b - leave^b) * dlnorm(l, mu, s); g <- function(l) l^b * dlnorm(l, mu, s)
  integrate(f, c, Inf, rel.tol = 1e-12, subdivisions = 2000L)$value /
    integrate(g, 0, Inf, rel.tol = 1e-12, subdivisions = 2000L)$value }
put("share 40 0.4 2 35 0", share(40, 0.4, 2, 35, 0)); put("share 40 0.4 2 35 20", share(40, 0.4, 2, 35, 20))
put("share 25 0.6 2.4 30 15", share(25, 0.6, 2.4, 30, 15))

write.table(data.frame(name = out$name, value = format(out$value, digits = 17, trim = TRUE)), "survey_R.csv",
  sep = ",", row.names = FALSE, quote = FALSE)
