# Reference values for change between surveys and for trends, by R's packages survey, metafor, nlme and sandwich.
# Run: Rscript change.R     Writes twice.csv, partly.csv, quadrats.csv, series.csv (invented data) and change_R.csv.
# Run with R 4.2.2, survey 4.1.1, metafor 3.8.1, nlme 3.1.162, sandwich 3.0.2.
suppressMessages({ library(survey); library(metafor); library(nlme); library(sandwich) })
set.seed(20255)
out <- data.frame(name = character(), value = numeric())
put <- function(name, value) out[nrow(out) + 1, ] <<- list(name, as.numeric(value))
areas <- data.frame(stratum = c("high", "low", "mid"), area = c(900, 2500, 1600))

# Transects in strata, surveyed twice; what a transect holds is alike in both years. Quadrats and sizes unequal.
visit <- function(survey, transects, level) {
  d <- do.call(rbind, lapply(names(transects), function(t) data.frame(stratum = transects[[t]], transect = t,
    quadrat = seq_len(sample(3:6, 1)))))
  d$m2 <- sample(c(0.25, 0.5), nrow(d), replace = TRUE)
  mu <- 4 * c(high = 0.5, mid = 1, low = 1.4)[d$stratum] * level[d$transect]
  d$kg <- round(rgamma(nrow(d), 4, 4 / mu), 3) # kg/m2
  d$kg[runif(nrow(d)) < 0.2] <- 0
  cbind(survey = survey, d)
}
level <- setNames(exp(rnorm(20, 0, 0.6)), paste0("T", 1:20))
old <- setNames(rep(c("high", "mid", "low"), c(4, 5, 6)), paste0("T", 1:15))
new <- c(old[-c(2, 7, 15)], T16 = "mid", T17 = "low", T18 = "low")
twice <- rbind(visit(2023, old, level), visit(2024, old, 0.8 * level))
partly <- rbind(visit(2023, old, level), visit(2024, new, 0.8 * level))
for (n in c("twice", "partly")) write.csv(get(n), paste0(n, ".csv"), row.names = FALSE, quote = FALSE)

# Totals of both years from one design of all transects visited, with their covariance.
both <- function(d) {
  d$num <- d$kg * d$m2
  d$w <- 1
  d$cell <- paste(d$survey, d$stratum)
  des <- svydesign(ids = ~transect, strata = ~stratum, weights = ~w, data = d)
  by <- svyby(~num, ~cell, des, svyratio, denominator = ~m2, covmat = TRUE)
  a <- areas$area[match(sub("^[0-9]+ ", "", by$cell), areas$stratum)]
  first <- startsWith(by$cell, "2023")
  list(total = c(sum((a * coef(by))[first]), sum((a * coef(by))[!first])), df = degf(des),
    v = sapply(list(first, !first), function(i) drop(t(a * i) %*% vcov(by) %*% (a * i))),
    c = drop(t(a * first) %*% vcov(by) %*% (a * !first)))
}
r <- both(twice)
put("twice from", r$total[1]); put("twice to", r$total[2])
put("twice paired se", sqrt(r$v[1] + r$v[2] - 2 * r$c)); put("twice paired df", r$df)
put("twice correlation", r$c / sqrt(r$v[1] * r$v[2])); put("twice unpaired se", sqrt(sum(r$v)))
welch <- function(v, df) sum(v)^2 / sum(v^2 / df)
put("twice unpaired df", welch(r$v, c(12, 12)))
ratio <- r$total[2] / r$total[1]
put("twice log ratio se", sqrt(r$v[1] / r$total[1]^2 + r$v[2] / r$total[2]^2 - 2 * r$c / prod(r$total)))
# Not all transects visited twice: each year's variance from its own transects, the covariance from all visited.
p <- both(partly)
one <- function(y) { d <- partly[partly$survey == y, ]; d$num <- d$kg * d$m2; d$w <- 1
  by <- svyby(~num, ~stratum, svydesign(ids = ~transect, strata = ~stratum, weights = ~w, data = d), svyratio,
    denominator = ~m2, covmat = TRUE)
  a <- areas$area[match(as.character(by$stratum), areas$stratum)]; drop(t(a) %*% vcov(by) %*% a) }
v <- c(one(2023), one(2024))
put("partly change", diff(p$total)); put("partly covariance", p$c); put("partly se", sqrt(sum(v) - 2 * p$c))
# The part surveyed both times, strata high and mid.
d <- subset(twice, stratum != "low"); r <- both(d)
put("part change", diff(r$total)); put("part paired se", sqrt(sum(r$v) - 2 * r$c)); put("part paired df", r$df)

# Quadrats without transects on 100 m2: the t tests of R.
q <- data.frame(quadrat = 1:9, a = round(rgamma(9, 4, 1), 3)); q$b <- round(pmax(0, 0.7 * q$a + rnorm(9, 0, 0.8)), 3)
write.csv(q, "quadrats.csv", row.names = FALSE, quote = FALSE)
for (paired in c(TRUE, FALSE)) {
  t <- t.test(q$b, q$a, paired = paired); n <- if (paired) "quadrats paired" else "quadrats unpaired"
  put(paste(n, "se"), 100 * t$stderr); put(paste(n, "df"), t$parameter); put(paste(n, "lo"), 100 * t$conf.int[1])
  put(paste(n, "hi"), 100 * t$conf.int[2])
}

# Trends. Twelve surveys a bed at unequal times.
n <- 12
s <- data.frame(t = c(0, 1, 2.1, 2.9, 4, 5, 6.2, 7, 8, 9.1, 10, 11), cv = round(runif(n, 0.1, 0.3), 3))
u <- as.numeric(arima.sim(list(ar = 0.5), n)) * 0.4
s$kg <- round(5000 * exp(-0.06 * s$t + u + rnorm(n, 0, s$cv)), 1)
s$shared <- rep(c(1, 2, 3), c(5, 4, 3)) # each a calibration of its own, with CV 0.15
s$zeros <- c(round(s$kg[1:9] * exp(-0.25 * s$t[1:9]), 1), 0, 9.5, 0)
write.csv(s, "series.csv", row.names = FALSE, quote = FALSE)
s$y <- log(s$kg); s$v <- log1p(s$cv^2)
ctl <- list(threshold = 1e-12, maxiter = 1000)
m <- rma.uni(y, v, mods = ~t, data = s, method = "REML", test = "adhoc", control = ctl)
put("independent slope", coef(m)[2]); put("independent se", m$se[2]); put("independent tau2", m$tau2)
m5 <- rma.uni(y, v, mods = ~t, data = s[1:6, ], method = "REML", test = "adhoc", control = ctl)
put("six slope", coef(m5)[2]); put("six se", m5$se[2]); put("six tau2", m5$tau2)
small <- transform(s, v = v * 20) # more scatter declared than there is: no process variance
m0 <- rma.uni(y, v, mods = ~t, data = small, method = "REML", test = "adhoc", control = ctl)
put("declared slope", coef(m0)[2]); put("declared se", m0$se[2]); put("declared tau2", m0$tau2)
# Standard error of the slope scaled by max(1, q).
adhoc <- function(y, X, S) { W <- solve(S); A <- solve(t(X) %*% W %*% X); b <- A %*% t(X) %*% W %*% y; r <- y - X %*% b
  c(b[2], sqrt(A[2, 2] * max(1, drop(t(r) %*% W %*% r) / (length(y) - 2)))) }
s$id <- factor(1:n)
V <- diag(s$v) + log1p(0.15^2) * outer(s$shared, s$shared, "==")
mv <- rma.mv(y, V, mods = ~t, random = ~1 | id, data = s, method = "REML",
  control = list(optimizer = "optim", optmethod = "BFGS", reltol = 1e-15))
put("shared slope", coef(mv)[2]); put("shared se", adhoc(s$y, cbind(1, s$t), V + diag(mv$sigma2, n))[2]); put("shared tau2", mv$sigma2)
# Serial correlation that falls with the time between surveys: restricted likelihood maximised over variance and phi.
reml <- function(par, s, V) {
  S <- V + exp(par[1]) * plogis(par[2])^abs(outer(s$t, s$t, "-")); X <- cbind(1, s$t); W <- solve(S)
  A <- t(X) %*% W %*% X; b <- solve(A, t(X) %*% W %*% s$y); e <- s$y - X %*% b
  0.5 * (determinant(S)$modulus + determinant(A)$modulus + drop(t(e) %*% W %*% e)) }
cl <- s; cl$y <- log(5000) - 0.06 * s$t + c(0.2, -0.05, 0.1, 0.15, -0.2, -0.1, -0.25, 0.1, 0, 0.25, 0.15, -0.1)
cl$v <- s$v / 20
write.csv(data.frame(t = cl$t, y = cl$y, v = cl$v), "serial.csv", row.names = FALSE, quote = FALSE)
o <- optim(c(log(0.02), 0), reml, s = cl, V = diag(cl$v), method = "BFGS", control = list(reltol = 1e-15, maxit = 1000))
o <- optim(o$par, reml, s = cl, V = diag(cl$v), method = "Nelder-Mead", control = list(reltol = 1e-15, maxit = 5000))
S <- diag(cl$v) + exp(o$par[1]) * plogis(o$par[2])^abs(outer(cl$t, cl$t, "-")); X <- cbind(1, cl$t)
put("serial slope", adhoc(cl$y, X, S)[1]); put("serial se", adhoc(cl$y, X, S)[2]); put("serial tau2", exp(o$par[1])); put("serial phi", plogis(o$par[2]))
# The same without any error of the surveys, by nlme.
g <- gls(y ~ t, data = cl, correlation = corCAR1(0.5, form = ~t), control = glsControl(tolerance = 1e-12, msTol = 1e-12))
put("gls slope", coef(g)[2]); put("gls se", sqrt(vcov(g)[2, 2])); put("gls sigma2", g$sigma^2)
put("gls phi", coef(g$modelStruct$corStruct, unconstrained = FALSE))
# Newey-West on the weighted fit.
w <- lm(y ~ t, data = s, weights = 1 / (s$v + m$tau2))
put("neweywest se", sqrt(NeweyWest(w, lag = 1, prewhite = FALSE, adjust = TRUE)[2, 2]))
# Surveys that found none.
z <- glm(zeros ~ t, family = quasipoisson, data = s, epsilon = 1e-14)
put("zeros slope", coef(z)[2]); put("zeros se", sqrt(vcov(z)[2, 2])); put("zeros dispersion", summary(z)$dispersion)

# Power of the two-sided t test with noncentrality d and df degrees of freedom, and the d that has a given power.
power <- function(d, df, level) { t <- qt(0.5 + level / 2, df); pt(t, df, d, lower.tail = FALSE) + pt(-t, df, d) }
need <- function(df, level, p) uniroot(function(d) power(d, df, level) - p, c(0, 60), tol = 1e-12)$root
put("power 2 7.5", power(2, 7.5, 0.95)); put("power 3.1 24", power(3.1, 24, 0.9))
put("need 4", need(4, 0.95, 0.8)); put("need 13.6", need(13.6, 0.95, 0.8)); put("need 60", need(60, 0.9, 0.9))

put("none of 12", binom.test(0, 12)$conf.int[2])

write.table(data.frame(name = out$name, value = format(out$value, digits = 17, trim = TRUE)), "change_R.csv",
  sep = ",", row.names = FALSE, quote = FALSE)
