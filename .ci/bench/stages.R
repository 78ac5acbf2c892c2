# stages.R FOLDER [all]: reading, stocks, plot fits, the posterior of r, K and the stocks, offtake and what surveys say of growth by
# themselves, of a folder of .ci/bench/coast as one would write them in R with data.table, survey, nls and JAGS; with all,
# tables, a page and base-graphics figures too. Run it where the repository is. It prints "stage NAME WALL CPU MEMORY" for each,
# as the stages of the program are printed, and "reached NAME ESS RHAT" of what is sampled. The stages come to what the program
# comes to: stocks with standard errors; r and K of plots with standard errors and profile intervals; the model of growth over
# all beds of a species (growth.R), once more with next to nothing known before and without plots; the limits by cap, replacement
# and risk, and what the advised cut leads to, on those draws. It tells nothing of pressure against recovery, of seasons and of
# what is granted, which the program does besides.
suppressPackageStartupMessages({library(data.table); library(survey)})
source(".ci/bench/growth.R")
folder <- commandArgs(TRUE)[1]
all <- "all" %in% commandArgs(TRUE)
options(survey.lonely.psu = "adjust")
clock <- proc.time()
lap <- function(stage) {
  now <- proc.time()
  most <- sub("[^0-9]*([0-9]+).*", "\\1", grep("VmHWM", readLines("/proc/self/status"), value = TRUE))
  cat(sprintf("stage %s %.4f %.4f %s\n", stage, now[[3]] - clock[[3]], sum((now - clock)[1:2]) + besides, most))
  besides <<- 0
  clock <<- proc.time()
}

q <- fread(file.path(folder, "quadrats.csv"))
strata <- fread(file.path(folder, "strata.csv"))
regrowth <- fread(file.path(folder, "regrowth.csv"))
harvest <- fread(file.path(folder, "harvest.csv"))
storms <- fread(file.path(folder, "events.csv"))
known <- fread("data/species.csv")
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
  f <- tryCatch(nls(log(biomass_g) ~ lk - log1p((exp(lk - lb) - 1) * exp(-exp(lr) * t)),
    start = list(lk = log(1.2 * max(biomass_g)), lb = log(biomass_g[1]), lr = 0)), error = function(e) NULL)
  none <- list(r = NA_real_, se = NA_real_, r_lo = NA_real_, r_hi = NA_real_, K_lo = NA_real_, K_hi = NA_real_)
  if (is.null(f)) none else {
    r <- exp(coef(f)[["lr"]])
    limits <- function(name) tryCatch(exp(suppressMessages(confint(f, name))), error = function(e) c(NA_real_, NA_real_))
    of_r <- limits("lr"); of_K <- limits("lk")
    list(r = r, se = r * sqrt(vcov(f)["lr", "lr"]), r_lo = of_r[[1]], r_hi = of_r[[2]], K_lo = of_K[[1]], K_hi = of_K[[2]])
  }
}, by = .(plot, species)]
lap("plots")

# Growth: the precision of a survey is that of all surveys of its species, by their numbers of transects. The growth model is
# given the stocks, cuts, storms and plots of a species; vague, no plots and a prior that says next to nothing.
lognormal_sd <- function(cv) sqrt(log1p(cv^2))
units <- q[, .(psu = uniqueN(paste(stratum, transect)), found_psu = uniqueN(paste(stratum, transect)[x > 0]), occ = weighted.mean(x > 0, w)),
  by = .(bed, species, date)]
surveys <- stocks[is.finite(kg) & is.finite(se)][units, on = c("bed", "species", "date"), nomatch = NULL]
surveys[strata[, .(area = sum(area_m2)), by = bed], area := i.area, on = "bed"]
surveys[, cv := sqrt(mean(((se / kg)^2 * psu)[kg > 0]) / psu), by = species]
setorder(surveys, species, bed, date)
events <- rbind(harvest[, .(bed, species, date, kg = wet_kg, left = 1)],
  storms[, .(species = unique(surveys$species)), by = .(bed, date, left = fraction_left)][, kg := 0], use.names = TRUE)
given <- function(name, vague) {
  row <- known[species == name]
  prior <- list(r = row$r_per_year, k = row$k_kg_m2, sd_r = lognormal_sd(row$r_cv), sd_k = lognormal_sd(row$k_cv))
  if (vague) prior$sd_r <- prior$sd_k <- 2
  list(surveys[species == name], events[species == name], fits[species == name & is.finite(r) & !vague], prior)
}
draws <- of_all(unique(surveys$species), "growth", function(name) given(name, FALSE))
lap("growth")

# Offtake: 4000 draws of r, K and stock, ten years ahead with noise, storms (one in ten years, leaving 0.7) and the error of
# the surveys that later cuts follow. The smallest of a third of the lower figure of the stock; the cut after which half of
# the draws are next year at their stock for most yield, or on the way there; and the largest fraction with which in no year
# more than 5 % of the draws are below a fifth of K, by halving; less where the stock is low. Then what that cut leads to.
set.seed(1)
last <- stocks[order(date), .SD[.N], by = .(bed, species)]
offtake <- function(kg, se, drawn) {
  none <- list(advice = NA_real_, risk = NA_real_, next_lo = NA_real_, next_median = NA_real_, next_hi = NA_real_, yield = NA_real_)
  if (is.null(drawn) || !is.finite(se)) return(none)
  n <- nrow(drawn); years <- 10
  r <- drawn[, "r"]; K <- drawn[, "K"]; b <- drawn[, "b"]
  chance <- matrix(exp(0.2 * rnorm(n * years)) * ifelse(runif(n * years) < 0.1, 0.7, 1), n)
  miss <- matrix(exp(sqrt(log1p((se / kg)^2)) * rnorm(n * years)), n)
  decay <- exp(-r); limit <- 0.2 * K; q <- quantile(b, 0.2, names = FALSE)
  ahead <- function(first, f) { # a row a draw, a column a year
    s <- b; below <- numeric(years); taken <- 0
    for (y in 1:years) {
      cut <- if (y == 1) pmin(first, s) else s * pmin(f * miss[, y], 1)
      s <- s - cut; taken <- taken + cut
      s <- K / (1 + (K / s - 1) * decay) * chance[, y]
      if (y == 1) one <- s
      below[y] <- mean(s < limit)
    }
    list(risk = max(below), one = one, yield = taken / years)
  }
  G <- exp(r) * 0.7^0.1; best <- K * (sqrt(G) - 1) / (exp(r) - 1) * sqrt(G)
  target <- pmin(best, b + (best - b) / 10)
  room <- chance[, 1] / target - (1 - decay) / K
  replacement <- max(quantile(ifelse(G > 1 & room > 0, b - decay / room, -Inf), 0.5, type = 1, names = FALSE), 0)
  lo <- 0; hi <- 0.9
  for (i in 1:12) {
    f <- (lo + hi) / 2
    if (ahead(f * q, f)$risk <= 0.05) lo <- f else hi <- f
  }
  low <- mean(pmin(pmax((b / K - 0.2) / 0.2, 0), 1))
  kg <- min(q / 3, replacement, lo * q) * low
  a <- ahead(kg, min(kg / q, 1))
  span <- quantile(a$one, c(0.025, 0.5, 0.975), names = FALSE)
  list(advice = kg, risk = a$risk, next_lo = span[1], next_median = span[2], next_hi = span[3], yield = median(a$yield))
}
drawn <- Map(function(species, bed) draws[[species]][[bed]], last$species, last$bed)
last <- cbind(last, rbindlist(Map(offtake, last$kg, last$se, drawn)))
lap("offtake")

# What the surveys say by themselves of r and K: medians and intervals.
alone <- of_all(unique(surveys$species), "evidence", function(name) given(name, TRUE))
said <- function(draws) setNames(as.list(apply(draws[, c("r", "K")], 2, quantile, c(0.5, 0.025, 0.975))), c("r", "r_lo", "r_hi", "K", "K_lo", "K_hi"))
evidence <- rbindlist(lapply(alone, function(beds) rbindlist(lapply(beds, said), idcol = "bed")), idcol = "species")
lap("evidence")
if (all) {
  out <- tempfile("report")
  dir.create(out)
  fwrite(stocks, file.path(out, "stocks.csv"))
  fwrite(fits, file.path(out, "plots.csv"))
  fwrite(last, file.path(out, "advice.csv"))
  fwrite(evidence, file.path(out, "evidence.csv"))
  cells <- last[, sprintf("<tr><td>%s</td><td>%s</td><td>%.0f</td><td>%.0f</td><td>%.0f</td></tr>", bed, species, kg, se, advice)]
  writeLines(c("<!DOCTYPE html><table><tr><th>bed</th><th>species</th><th>kg</th><th>SE</th><th>advice</th></tr>", cells, "</table>"),
    file.path(out, "report.html"))
  lap("tables")
  # Of a bed and species the stock over the years with its interval, the recovery curve and the yield over the fraction;
  # of a plot what stood over time and the fitted curve. Titles, axes, nothing more.
  figures <- 0
  draw <- function(code) {
    figures <<- figures + 1
    svg(file.path(out, sprintf("%04d.svg", figures)), 7, 5)
    force(code)
    dev.off()
  }
  for (i in seq_len(nrow(last))) {
    s <- last[i]
    one <- stocks[bed == s$bed & species == s$species][order(date)]
    if (!any(is.finite(one$kg))) next
    draw({
      plot(one$date, one$kg, ylim = c(0, max(one$kg + 2 * one$se, na.rm = TRUE)), main = paste(s$bed, s$species), xlab = "", ylab = "kg")
      arrows(one$date, one$kg - 2 * one$se, one$date, one$kg + 2 * one$se, angle = 90, code = 3, length = 0.03)
    })
    if (is.null(drawn[[i]])) next
    K <- drawn[[i]][, "K"]; r <- drawn[[i]][, "r"]; b <- seq(0.01, 1.05, length.out = 81) * median(K)
    band <- sapply(b, function(x) quantile(K / (1 + (K / x - 1) * exp(-r)) - x, c(0.025, 0.5, 0.975)))
    draw(matplot(b, t(band), type = "l", lty = c(2, 1, 2), col = 1, main = paste(s$bed, s$species), xlab = "kg left", ylab = "kg regrown"))
    f <- seq(0, 0.9, length.out = 81)
    kept <- sapply(f, function(x) quantile(pmax(0, x * K * (1 - x * exp(-r) / (1 - exp(-r)) / (1 - x))), c(0.025, 0.5, 0.975)))
    draw(matplot(f, t(kept), type = "l", lty = c(2, 1, 2), col = 1, main = paste(s$bed, s$species), xlab = "fraction", ylab = "kg a year"))
  }
  for (p in unique(regrowth$plot)) {
    one <- regrowth[plot == p & event == "measure"]
    draw(plot(one$date, one$biomass_g, type = "b", main = p, xlab = "", ylab = "g"))
  }
  lap("figures")
  cat(sprintf("figures %d\n", figures))
  unlink(out, recursive = TRUE)
}
cat(sprintf("stocks %d, fits %d, advice %d\n", sum(is.finite(stocks$kg)), sum(is.finite(fits$r)), sum(is.finite(last$advice))))
