# Reference values for totals, means, ratios and domains, by R's package survey.
# Run: Rscript designs.R    Writes designs.csv, areas.csv (invented data) and designs_R.csv, api_R.csv (results).
# Run with R 4.2.2 and survey 4.1.1.
library(survey)
options(survey.lonely.psu = "adjust", warn = -1)
set.seed(20261)
out <- data.frame(design = character(), what = character(), value = numeric())
put <- function(design, what, value) for (i in seq_along(value))
  out[nrow(out) + 1, ] <<- list(design, if (length(value) > 1) paste(what, names(value)[i]) else what, as.numeric(value[i]))

# Two species, a and b (kg/m2 and percent cover); b is thin where a is thick. p is the share of empty quadrats.
make <- function(design, cells, sizes, p = 0.25, none_b = NULL) {
  d <- do.call(rbind, lapply(seq_len(nrow(cells)), function(i) data.frame(design = design, stratum = cells$stratum[i],
    transect = cells$transect[i], quadrat = paste0(cells$transect[i], "q", seq_len(cells$n[i])))))
  d$quadrat <- paste0(d$quadrat, "s", match(d$stratum, unique(d$stratum)))
  n <- nrow(d)
  d$m2 <- if (length(sizes) == 1) sizes else sample(sizes, n, replace = TRUE)
  u <- if (all(d$transect == "")) rnorm(n, 0, 0.5) else rnorm(length(unique(d$transect)), 0, 0.5)[match(d$transect, unique(d$transect))]
  d$a_cover <- pmin(95, round(rgamma(n, 2, 2 / (35 * exp(u))))); d$a_cover[runif(n) < p] <- 0
  d$b_cover <- pmin(95, round(rgamma(n, 2, 2 / (20 * exp(-u))))); d$b_cover[runif(n) < p | d$stratum %in% none_b] <- 0
  d$a_kg <- round(0.06 * d$a_cover * exp(rnorm(n, 0, 0.2)), 3)
  d$b_kg <- round(0.03 * d$b_cover * exp(rnorm(n, 0, 0.2)), 3)
  d
}
cells <- function(stratum, transect, n) data.frame(stratum = stratum, transect = transect, n = n)
tr <- function(n) paste0("T", seq_len(n))
cross <- expand.grid(stratum = c("high", "mid", "low"), transect = tr(6), stringsAsFactors = FALSE)
cross$n <- rep_len(c(2, 3, 4, 3, 1), nrow(cross))
data <- list(
  make("random", cells("", "", 12), 0.25),
  make("sizes", cells("", "", 15), c(0.25, 0.5, 1)),
  make("onequadrat", cells("", "", 1), 0.25, 0),
  make("onetransect", cells("", "T1", 5), 0.25, 0),
  make("zeros", cells("", "", 6), 0.25, 1),
  make("transects", cells("", tr(8), 4), 0.25),
  make("unequal", cells("", tr(9), c(1, 5, 3, 4, 2, 6, 3, 2, 4)), c(0.25, 0.5)),
  make("strata", cells(c("high", "mid", "low"), "", c(5, 8, 6)), 0.25),
  make("stratasizes", cells(c("high", "mid", "low"), "", c(6, 9, 7)), c(0.25, 1)),
  make("pairs", cells(rep(c("high", "mid", "low"), each = 2), tr(6), 3), 0.25),
  make("nested", cells(rep(c("high", "mid", "low"), c(4, 5, 6)), tr(15), c(3, 4, 5, 4, 6, 5, 3, 4, 5, 6, 6, 4, 5, 3, 4)), c(0.25, 0.5, 1)),
  make("crossing", cross[-c(1, 4), ], c(0.25, 0.5)),
  make("halfcrossing", cells(c("high", "mid", "high", "mid", "low", "low", "low"), c("T1", "T1", "T2", "T2", "T3", "T4", "T5"), c(3, 4, 2, 3, 4, 3, 5)), 0.25),
  make("emptystratum", cells(rep(c("high", "mid", "low"), c(3, 4, 4)), tr(11), 4), c(0.25, 0.5), none_b = "low"),
  make("patchy", cells("", tr(20), 4), 0.25, 0.9),
  make("lonely", cells(rep(c("high", "mid", "low"), c(1, 4, 4)), tr(9), 5), 0.25),
  make("lonelyquadrats", cells(c("high", "mid", "low"), "", c(1, 4, 7)), 0.25, 0.1))
data <- do.call(rbind, data)
areas <- data.frame(stratum = c("", "high", "mid", "low"), area = c(40, 9, 16, 25))
write.csv(data, "designs.csv", row.names = FALSE, quote = FALSE)
write.csv(areas, "areas.csv", row.names = FALSE, quote = FALSE)

# The design of a table. A stratum's total is its area times the ratio of amount to size, which is what poststratifying
# weights of one per m2 to the areas does. Transects that cross strata: the strata they join are one to the design.
lay <- function(d, fpc = FALSE, post = TRUE) {
  d$unit <- if (all(d$transect == "")) d$quadrat else d$transect
  d$group <- d$stratum
  repeat { g <- ave(seq_along(d$unit), d$unit, FUN = function(i) i[1]); new <- ave(match(d$group, unique(d$group)), d$unit, FUN = min)
    new <- ave(new, d$group, FUN = min); if (all(new == match(d$group, unique(d$group)))) break; d$group <- new }
  d$ab_kg <- d$a_kg + d$b_kg; d$ab_cover <- d$a_cover + d$b_cover
  d$a_held <- as.numeric(d$a_cover > 0 | d$a_kg > 0); d$b_held <- as.numeric(d$b_cover > 0 | d$b_kg > 0)
  d$ab_held <- pmax(d$a_held, d$b_held)
  d$w <- areas$area[match(d$stratum, areas$stratum)] * d$m2 / ave(d$m2, d$stratum, FUN = sum)
  d$one <- 1
  d$N <- areas$area[match(d$stratum, areas$stratum)] / ave(d$m2, d$stratum)
  if (!post) return(svydesign(ids = ~unit, strata = ~group, weights = ~w, data = d, fpc = if (fpc) ~N))
  des <- svydesign(ids = ~unit, strata = ~group, weights = ~m2, data = d, fpc = if (fpc) ~N)
  postStratify(des, ~stratum, data.frame(stratum = unique(d$stratum), Freq = areas$area[match(unique(d$stratum), areas$stratum)]))
}
se <- function(x) as.numeric(SE(x))
both <- function(design, what, x) { put(design, what, coef(x)[1]); put(design, paste(what, "se"), se(x)[1]) }
report <- function(name, des) {
  for (y in c("a_kg", "b_kg", "ab_kg")) {
    both(name, y, svytotal(reformulate(y), des))
    put(name, paste(y, "deff"), deff(svytotal(reformulate(y), des, deff = "replace")))
  }
  for (y in c("ab_kg", "a_cover", "ab_cover", "ab_held")) both(name, paste("mean", y), svymean(reformulate(y), des))
  v <- vcov(svytotal(~a_kg + b_kg, des)); put(name, "covariance", v[1, 2]); put(name, "df", degf(des))
  both(name, "ratio b a", svyratio(~b_kg, ~a_kg, des))
  both(name, "ratio kg cover", svyratio(~ab_kg, ~ab_cover, des))
}
domains <- function(name, des) {
  sub <- subset(des, a_held == 1)
  both(name, "holding a ab_kg", svytotal(~ab_kg, sub)); both(name, "holding a mean b_kg", svymean(~b_kg, sub))
  both(name, "holding a area", svytotal(~one, sub)); put(name, "holding a df", degf(sub))
  both(name, "holding a ratio", svyratio(~b_kg, ~a_kg, sub))
  sub <- subset(des, a_held == 0)
  both(name, "without a b_kg", svytotal(~b_kg, sub))
  both(name, "held ab_kg", svymean(~ab_kg, subset(des, ab_held == 1)))
  for (h in setdiff(unique(des$variables$stratum), "")) {
    sub <- subset(des, stratum == h)
    both(name, paste(h, "ab_kg"), svytotal(~ab_kg, sub)); both(name, paste(h, "mean ab_kg"), svymean(~ab_kg, sub))
    put(name, paste(h, "df"), degf(sub))
  }
}
for (n in setdiff(unique(data$design), c("lonely", "lonelyquadrats", "onequadrat", "onetransect", "zeros"))) {
  des <- lay(data[data$design == n, ])
  report(n, des); domains(n, des)
}
for (n in c("onequadrat", "onetransect")) {
  d <- data[data$design == n, ]
  w <- 40 * d$m2 / sum(d$m2); put(n, "a_kg", sum(w * d$a_kg)); put(n, "ab_kg", sum(w * (d$a_kg + d$b_kg)))
}
# A stratum of one unit: the mean, times the (known) area, as the total would be centred at 0.
for (n in c("lonely", "lonelyquadrats")) for (how in c("adjust", "average", "certainty")) {
  options(survey.lonely.psu = how)
  des <- lay(data[data$design == n, ], post = FALSE)
  m <- svymean(~ab_kg, des); put(n, paste(how, "ab_kg"), coef(m) * 50); put(n, paste(how, "ab_kg se"), SE(m) * 50)
  des <- lay(data[data$design == n, ], post = FALSE, fpc = n == "lonelyquadrats")
  put(n, paste(how, "fpc ab_kg se"), SE(svymean(~ab_kg, des)) * 50)
}
options(survey.lonely.psu = "adjust")
# Finite population correction: quadrats as units.
for (n in c("random", "strata")) {
  des <- lay(data[data$design == n, ], fpc = TRUE)
  both(n, "fpc ab_kg", svytotal(~ab_kg, des)); both(n, "fpc ratio b a", svyratio(~b_kg, ~a_kg, des))
  both(n, "fpc holding a ab_kg", svytotal(~ab_kg, subset(des, a_held == 1)))
}
# Degrees of freedom by Satterthwaite from the strata's variances, by hand.
d <- data[data$design == "strata", ]
v <- tapply(d$a_kg + d$b_kg, d$stratum, var) / table(d$stratum) * areas$area[match(levels(factor(d$stratum)), areas$stratum)]^2
put("strata", "satterthwaite df", sum(v)^2 / sum(v^2 / (table(d$stratum) - 1)))
# Three beds of a shore: strata within beds.
d <- data[data$design %in% c("nested", "transects", "emptystratum"), ]
d$bed <- d$design; d$transect <- paste(d$bed, d$transect); d$s2 <- paste(d$bed, d$stratum)
d$ab_kg <- d$a_kg + d$b_kg; d$held <- as.numeric(d$a_kg > 0); d$one <- 1
des <- postStratify(svydesign(ids = ~transect, strata = ~s2, weights = ~m2, data = d), ~s2, data.frame(s2 = unique(d$s2),
  Freq = areas$area[match(sub("^[a-z]+ ", "", unique(d$s2)), areas$stratum)]))
both("shore", "ab_kg", svytotal(~ab_kg, des)); both("shore", "mean ab_kg", svymean(~ab_kg, des)); put("shore", "df", degf(des))
both("shore", "a_kg", svytotal(~a_kg, des)); both("shore", "ratio b a", svyratio(~b_kg, ~a_kg, des))
both("shore", "holding a ab_kg", svytotal(~ab_kg, subset(des, held == 1)))
put("shore", "deff", deff(svytotal(~ab_kg, des, deff = "replace")))
# A rough check of the linearised error by replicate weights (subbootstrap, 4000 replicates).
rep <- as.svrepdesign(svydesign(ids = ~transect, strata = ~stratum, weights = ~m2, data = data[data$design == "nested", ]),
  type = "subbootstrap", replicates = 4000)
rep <- postStratify(rep, ~stratum, areas[-1, c("stratum", "area")] |> setNames(c("stratum", "Freq")))
put("nested", "bootstrap a_kg se", SE(svytotal(~a_kg, rep)))
write.table(data.frame(design = out$design, what = out$what, value = sprintf("%.17g", out$value)),
  "designs_R.csv", sep = ",", row.names = FALSE, quote = FALSE)
