# Reference values for intervals and the rescaling bootstrap, by R's package survey.
# Run: Rscript bootstrap.R     Reads nested.csv (the invented survey of ../estimate), writes patchy.csv (invented surveys
# of a patchy species), intervals_R.csv (R's intervals of each) and bootstrap_R.csv (replicate variances).
# Run with R 4.2.2 and survey 4.1.1.
suppressMessages(library(survey))
set.seed(4711)
areas <- c(high = 2000, low = 3000)

# Thirty surveys of 10 transects in two strata; a species on a fifth of the quadrats, clumped by transect, and from the
# eleventh survey on half of them.
one <- function(id) do.call(rbind, lapply(1:10, function(j) {
  h <- c("high", "low")[1 + j %% 2]; n <- c(4, 6)[1 + (j %/% 2) %% 2]
  share <- if (id <= 10) 0.2 else 0.5; p <- rbeta(1, share * 3, (1 - share) * 3)
  level <- c(high = 2, low = 4)[h] / share * exp(rnorm(1, -0.125, 0.5))
  data.frame(survey = id, stratum = h, transect = paste0("T", j), quadrat = seq_len(n), m2 = sample(c(0.25, 0.5), n, TRUE),
    kg = round((runif(n) < p) * level * rgamma(n, 1.5, 1.5), 4))
}))
patchy <- do.call(rbind, lapply(1:30, one))
write.csv(patchy, "patchy.csv", row.names = FALSE, quote = FALSE)

# Total of separate ratios to size with R's t interval.
total <- function(d, a) {
  d$num <- d$kg * d$m2; d$w <- 1
  des <- svydesign(ids = ~transect, strata = ~stratum, weights = ~w, data = d)
  by <- svyby(~num, ~stratum, des, svyratio, denominator = ~m2, covmat = TRUE)
  a <- a[as.character(by$stratum)]
  c(total = sum(a * coef(by)), se = sqrt(drop(t(a) %*% vcov(by) %*% a)), df = degf(des))
}
r <- do.call(rbind, lapply(1:30, function(i) {
  e <- total(patchy[patchy$survey == i, ], areas); q <- qt(0.975, e["df"]) * e["se"]
  data.frame(survey = i, total = e["total"], se = e["se"], df = e["df"], lo = e["total"] - q, hi = e["total"] + q)
}))
write.table(format(r, digits = 17, trim = TRUE), "intervals_R.csv", sep = ",", row.names = FALSE, quote = FALSE)

# Variances of the replicates of two estimates: the total of separate ratios of kg to size where all were weighed, and
# the two-phase total k X with k = sum(w y)/sum(w x) over the weighed quadrats, X = sum(w x) over all, w = A m2/sum(m2).
nested <- read.csv("nested.csv")
areas <- c(high = 900, mid = 1600, low = 2500)
# w has a column for each replicate.
weights3 <- function(w, d) {
  w <- as.matrix(w) * d$m2; size <- rowsum(w, d$stratum)[d$stratum, , drop = FALSE]
  areas[d$stratum] * w / size
}
direct <- function(w, d) colSums(weights3(w, d) * d$kg)
phases <- function(w, d) { v <- weights3(w, d); k <- d$weighed == 1
  colSums((v * d$kg)[k, , drop = FALSE]) / colSums((v * d$cover)[k, , drop = FALSE]) * colSums(v * d$cover) }
des <- svydesign(ids = ~transect, strata = ~stratum, weights = ~one, data = transform(nested, one = 1))
out <- data.frame(name = character(), value = numeric())
put <- function(name, value) out[nrow(out) + 1, ] <<- list(name, as.numeric(value))
for (type in c("subbootstrap", "bootstrap")) {
  boot <- as.svrepdesign(des, type = type, replicates = 4000, compress = FALSE)
  for (f in c("direct", "phases")) {
    full <- get(f)(rep(1, nrow(nested)), nested)
    x <- get(f)(weights(boot, "analysis"), nested); m <- mean(x)
    put(paste(type, f, "estimate"), full); put(paste(type, f, "mean"), m)
    put(paste(type, f, "se"), sqrt(svrVar(x, boot$scale, boot$rscales, mse = boot$mse, coef = full)))
    put(paste(type, f, "kurtosis"), mean((x - m)^4) / mean((x - m)^2)^2)
  }
}
e <- total(nested, areas); put("linear direct se", e["se"])
write.table(data.frame(name = out$name, value = format(out$value, digits = 17, trim = TRUE)), "bootstrap_R.csv",
  sep = ",", row.names = FALSE, quote = FALSE)
