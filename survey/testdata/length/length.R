# Reference values for frond lengths, by R's package survey.
# Run: Rscript length.R
# Writes even_quadrats.csv, even_fronds.csv, uneven_quadrats.csv, uneven_fronds.csv (invented data) and length_R.csv.
# Run with R 4.2.2 and survey 4.1.1.
suppressMessages(library(survey))
set.seed(20262)
out <- data.frame(name = character(), value = numeric())
put <- function(name, value) out[nrow(out) + 1, ] <<- list(name, as.numeric(value))
areas <- data.frame(stratum = c("high", "low", "mid"), Freq = c(900, 2500, 1600))

# Quadrats of transects in strata, and fronds measured in those that hold the species (or a part of them).
make <- function(transects, per, sizes, empty, measured, wet) {
  q <- do.call(rbind, lapply(seq_len(nrow(transects)), function(i) data.frame(stratum = transects$stratum[i],
    transect = transects$transect[i], quadrat = seq_len(rep_len(per, i)[i]))))
  q$m2 <- sample(rep(sizes, 2), nrow(q), replace = TRUE)
  mid <- c(high = 30, mid = 45, low = 60)[q$stratum] * exp(rnorm(nrow(q), 0, 0.15))
  q$kg <- round(rgamma(nrow(q), 2, 2 / (mid / 10)), 3)
  q$kg[ave(q$quadrat, q$transect, FUN = seq_along) > 1 & runif(nrow(q)) < empty] <- 0
  f <- do.call(rbind, lapply(which(q$kg > 0 & runif(nrow(q)) < measured), function(i) {
    n <- sample(3:7, 1); sample_mid <- mid[i]
    data.frame(q[rep(i, n), c("stratum", "transect", "quadrat")], frond_cm = round(sample_mid * exp(rnorm(n, 0, 0.35)), 1))
  }))
  f$wet_g <- if (wet) round(0.03 * f$frond_cm^1.8 * exp(rnorm(nrow(f), 0, 0.3) + rep(rnorm(200, 0, 0.1), length.out = nrow(f))), 1) else NA
  f$wet_g[wet & runif(nrow(f)) < 0.4] <- NA
  rownames(f) <- NULL
  list(q = q, f = f)
}
even <- make(data.frame(stratum = rep(c("high", "mid", "low"), c(3, 4, 4)), transect = paste0("T", 1:11)), 4, 0.25, 0.2, 1, FALSE)
uneven <- make(data.frame(stratum = rep(c("high", "mid", "low"), c(4, 4, 5)), transect = paste0("T", 1:13)),
  c(3, 5, 4, 6, 2), c(0.25, 0.5), 0.3, 0.7, TRUE)
for (n in c("even", "uneven")) {
  write.csv(get(n)$q, paste0(n, "_quadrats.csv"), row.names = FALSE, quote = FALSE)
  write.csv(get(n)$f, paste0(n, "_fronds.csv"), row.names = FALSE, quote = FALSE, na = "")
}
key <- function(d) paste(d$transect, d$quadrat)
min_length <- 40; leave <- 20; recruit <- 25
probs <- c(0.05, 0.25, 0.5, 0.75, 0.95)

# Even: design weights of all quadrats of a stratum and sums per transect are alike, so that a sample of fronds, each with
# its weight, gives the same variances. Each frond stands for kg A / sum(L^2) fronds.
q <- even$q; f <- even$f
q$w <- areas$Freq[match(q$stratum, areas$stratum)] * q$m2 / ave(q$m2, q$stratum, FUN = sum)
i <- match(key(f), key(q))
f$w <- q$w[i] * q$kg[i] / ave(f$frond_cm^2, key(f), FUN = sum)
f$mass <- f$frond_cm^2
f$long <- f$mass * (f$frond_cm >= min_length)
f$taken <- ifelse(f$frond_cm >= max(min_length, leave), f$mass - leave^2, 0)
f$rest <- ifelse(f$frond_cm >= leave, f$mass - leave^2, 0)
f$short <- f$frond_cm < recruit
f <- f[order(f$frond_cm, f$w), ]
d <- svydesign(ids = ~transect, strata = ~stratum, weights = ~w, data = f)
m <- svymean(~frond_cm, d)
put("even mean", coef(m)); put("even mean se", SE(m)); put("even df", degf(d))
put("even mean lo", confint(m, df = degf(d))[1]); put("even mean hi", confint(m, df = degf(d))[2])
p <- svyciprop(~short, d, method = "logit")
put("even recruits", coef(p)); put("even recruits se", SE(p)); put("even recruits lo", confint(p)[1]); put("even recruits hi", confint(p)[2])
for (y in c("long", "taken", "rest")) {
  r <- svyratio(reformulate(y), ~mass, d)
  put(paste("even", y), coef(r)); put(paste("even", y, "se"), SE(r))
}
for (p in probs) for (how in c("mean", "xlogit")) {
  k <- svyquantile(~frond_cm, d, p, ci = TRUE, interval.type = how, qrule = "hf7")$frond_cm
  for (what in c("quantile", "ci.2.5", "ci.97.5", "se")) put(paste("even", p, how, what), k[, what])
}
put("even effective", sum(f$w)^2 / sum(f$w^2))

# Uneven: quadrats with their sums, weighted by size and post-stratified to the areas; those with fronds are a domain.
# The power b of w = a L^b is fitted by lm; its standard error the larger of that of lm and that of svyglm between
# quadrats. What half the change of an estimate between b - se and b + se is, enters its variance.
q <- uneven$q; f <- uneven$f
g <- f[!is.na(f$wet_g), ]
fit <- lm(log(wet_g) ~ log(frond_cm), data = g)
s <- summary(fit)
g$place <- key(g)
glm <- svyglm(log(wet_g) ~ log(frond_cm), svydesign(ids = ~place, weights = ~1, data = g))
put("lm n", nrow(g)); put("lm quadrats", length(unique(g$place)))
put("lm log a", coef(fit)[1]); put("lm log a se", s$coefficients[1, 2]); put("lm b", coef(fit)[2]); put("lm b se", s$coefficients[2, 2])
put("lm log a lo", confint(fit)[1, 1]); put("lm log a hi", confint(fit)[1, 2])
put("lm b lo", confint(fit)[2, 1]); put("lm b hi", confint(fit)[2, 2])
put("lm sigma", s$sigma); put("lm r2", s$r.squared)
put("lm smearing", mean(exp(resid(fit)))); put("lm correction", exp(s$sigma^2 / 2))
put("lm weight 50", exp(predict(fit, data.frame(frond_cm = 50)) + s$sigma^2 / 2))
put("svyglm b se", SE(glm)[2])
b0 <- coef(fit)[[2]]; se_b <- max(s$coefficients[2, 2], SE(glm)[2])

d <- postStratify(svydesign(ids = ~transect, strata = ~stratum, weights = ~m2, data = q), ~stratum, areas)
sums <- function(b, top) { # per quadrat: kg times the sums over fronds of what top says, of 1 and of L^b, over sum(L^b)
  l <- split(f$frond_cm, key(f))
  v <- sapply(key(q), function(k) if (is.null(l[[k]])) c(0, 0, 0) else
    c(sum(top(l[[k]], b)), length(l[[k]]), sum(l[[k]]^b)) / sum(l[[k]]^b))
  data.frame(y = q$kg * v[1, ], n = q$kg * v[2, ], mass = q$kg * v[3, ], known = key(q) %in% names(l))
}
of <- function(b, top, den) { d$variables <- cbind(d$variables, sums(b, top)); svyratio(~y, den, subset(d, known)) }
both <- function(name, top, den) {
  r <- of(b0, top, den)
  put(paste("uneven", name), coef(r)); put(paste("uneven", name, "sampling se"), SE(r))
  half <- (coef(of(b0 + se_b, top, den)) - coef(of(b0 - se_b, top, den))) / 2
  put(paste("uneven", name, "se"), sqrt(SE(r)^2 + half^2))
}
both("mean", function(l, b) l, ~n)
both("recruits", function(l, b) l < recruit, ~n)
both("long", function(l, b) l^b * (l >= min_length), ~mass)
both("taken", function(l, b) ifelse(l >= min_length, l^b - leave^b, 0), ~mass)
both("rest", function(l, b) ifelse(l >= leave, l^b - leave^b, 0), ~mass)
d$variables <- cbind(d$variables, sums(b0, function(l, b) l))
put("uneven df", degf(subset(d, known)))
put("uneven known", sum(weights(d) * q$kg * d$variables$known) / sum(weights(d) * q$kg))

# Lengths known as means alone: the share of lognormal fronds shorter than c, and their quantile, of two quadrats with
# 2 and 1 parts of the weight, mean lengths 40 and 25, sd of logs 0.4, b = 2.
mu <- log(c(40, 25)) - 0.08; n <- c(2, 1) / exp(2 * mu + 2 * 0.16)
share <- function(x) sum(n * plnorm(x, mu, 0.4)) / sum(n)
put("means mean", sum(n * c(40, 25)) / sum(n)); put("means below 25", share(25))
for (p in probs) put(paste("means", p), uniroot(function(x) share(x) - p, c(1, 200), tol = 1e-13)$root)

# Type 7 with weights, from the rule of package survey; equal weights are quantile() of R.
x <- c(3, 1, 4, 1, 5, 9, 2, 6, 5, 3); w <- c(2, 1, 1.5, 3, 0.5, 2, 0, 1, 4, 1)
o <- order(x, w)
for (p in c(0, 0.1, 0.25, 0.5, 0.83, 1)) put(paste("hf7", p), survey:::qrule_hf7(x[o], w[o], p))

write.table(data.frame(name = out$name, value = format(out$value, digits = 17, trim = TRUE)), "length_R.csv",
  sep = ",", row.names = FALSE, quote = FALSE)
