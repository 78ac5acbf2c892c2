# The growth curves of a regrowth plot by R 4.2.2 nls on the log of the measures, each by its closed form: what the curves
# of FitPlot are held against. Writes plotcurves_R.csv: estimates, standard errors, residual sd, AICc, lack of fit.
# With x = ln(B/K), w = exp(-q x) - 1 shrinks at the rate rho: logistic q = 1, rho = r; Gompertz (w = -x), rho = r;
# monomolecular q = -1, rho = r; theta-logistic q = theta, rho = r theta.
advance <- function(shape, r, k, theta, b, g) switch(shape,
  logistic = k / (1 + (k / b - 1) * exp(-r * g)),
  gompertz = k * (b / k)^exp(-r * g),
  monomolecular = k + (b - k) * exp(-r * g),
  theta = k / (1 + ((k / b)^theta - 1) * exp(-r * theta * g))^(1 / theta))
curve <- function(shape, d, cuts, from, season, logr, logk, logn, logq = 0) {
  r <- exp(logr); k <- exp(logk); b <- exp(logn); at <- from; out <- numeric(nrow(d))
  events <- rbind(data.frame(t = d$t, kg = NA, i = seq_len(nrow(d))), data.frame(t = cuts$t, kg = cuts$kg, i = rep(NA, nrow(cuts))))
  events <- events[order(events$t, !is.na(events$kg)), ]
  for (j in seq_len(nrow(events))) {
    b <- advance(shape, r, k, exp(logq), b, season(at, events$t[j])); at <- events$t[j]
    if (is.na(events$kg[j])) out[events$i[j]] <- log(b) else b <- b - events$kg[j]
  }
  out
}
out <- NULL
put <- function(set, shape, name, value) out <<- rbind(out, data.frame(set, shape, name, value = sprintf("%.10g", value)))
even <- function(a, b) b - a
fit <- function(set, shape, d, cuts, from, season, start) {
  f <- if (shape == "theta") log(y) ~ curve(shape, d, cuts, from, season, logr, logk, logn, logq)
       else log(y) ~ curve(shape, d, cuts, from, season, logr, logk, logn)
  m <- nls(f, data = d, start = start, control = nls.control(tol = 1e-7, maxiter = 500, warnOnly = TRUE))
  s <- summary(m)$coefficients
  for (v in rownames(s)) { put(set, shape, v, s[v, 1]); put(set, shape, paste(v, "se"), s[v, 2]) }
  n <- nrow(d); k <- nrow(s) + 1
  put(set, shape, "rsd", summary(m)$sigma)
  put(set, shape, "corr", cov2cor(vcov(m))["logr", "logk"])
  put(set, shape, "aicc", -2 * as.numeric(logLik(m)) + 2 * k + 2 * k * (k + 1) / (n - k - 1))
  if (any(duplicated(d$t))) {
    free <- lm(log(y) ~ factor(t), d)
    ss <- c(deviance(m) - deviance(free), deviance(free)); df <- c(df.residual(m) - df.residual(free), df.residual(free))
    F <- ss[1] / df[1] / (ss[2] / df[2])
    put(set, shape, "lack F", F); put(set, shape, "lack P", pf(F, df[1], df[2], lower.tail = FALSE))
  }
}
none <- data.frame(t = numeric(0), kg = numeric(0))
# The plot of nls.R: season of amplitude 0.7 with its peak at 0.4, two cuts.
plot <- data.frame(t = c(50.3, 50.6, 51, 51.5, 52, 52.5, 53, 53.6, 54.3, 55.3),
                   y = c(0.62, 1.27, 1.69, 3.95, 4.02, 4.36, 5.65, 6.97, 8.60, 8.05))
cuts <- data.frame(t = c(52, 53.2), kg = c(2.5, 1.5))
season <- function(a, b) b - a + 0.7 / (2 * pi) * (sin(2 * pi * (b - 0.4)) - sin(2 * pi * (a - 0.4)))
fit("cuts", "logistic", plot, cuts, 50.2, season, list(logr = 0.3, logk = 2.1, logn = -0.5))
fit("cuts", "gompertz", plot, cuts, 50.2, season, list(logr = -0.5, logk = 2.4, logn = -0.5))
fit("cuts", "theta", plot, cuts, 50.2, season, list(logr = 0.1, logk = 2.0, logn = -0.5, logq = 0.7))
# Yeast (Carlson 1913): Biochem. Z. 57, 313-334; hours.
yeast <- data.frame(t = 0:18, y = c(9.6, 18.3, 29.0, 47.2, 71.1, 119.1, 174.6, 257.3, 350.7, 441.0, 513.3, 559.7, 594.8, 629.4,
                                    640.8, 651.1, 655.9, 659.6, 661.8))
fit("yeast", "logistic", yeast, none, 0, even, list(logr = -0.6, logk = 6.5, logn = 2.3))
fit("yeast", "gompertz", yeast, none, 0, even, list(logr = -1, logk = 6.6, logn = 2))
fit("yeast", "theta", yeast, none, 0, even, list(logr = -0.6, logk = 6.5, logn = 2.3, logq = 0))
# Paramecium aurelia, three cultures (Gause 1934), days 0 and 2 to 19: repeated counts.
aurelia <- data.frame(t = rep(c(0, 2:19), 3), y = c(
  2,17,29,39,63,185,258,267,392,510,570,650,560,575,650,550,480,520,500,
  2,15,36,62,84,156,234,348,370,480,520,575,400,545,560,480,510,650,500,
  2,11,37,67,134,226,306,376,485,530,650,605,580,660,460,650,575,525,550))
fit("aurelia", "logistic", aurelia, none, 0, even, list(logr = -0.2, logk = 6.3, logn = 1))
fit("aurelia", "gompertz", aurelia, none, 0, even, list(logr = -1, logk = 6.3, logn = 0.5))
fit("aurelia", "theta", aurelia, none, 0, even, list(logr = -0.2, logk = 6.3, logn = 1, logq = 0))
# An invented plot that slows from the start, measured twice a visit.
slow <- data.frame(t = rep(c(0.25, 0.5, 1, 1.5, 2, 3, 4), each = 2),
                   y = c(1.62, 1.78, 2.69, 2.85, 4.72, 4.35, 5.41, 5.98, 6.55, 6.14, 7.12, 7.63, 7.92, 7.55))
fit("slow", "logistic", slow, none, 0, even, list(logr = 0.3, logk = 2, logn = 0.2))
fit("slow", "gompertz", slow, none, 0, even, list(logr = 0, logk = 2.05, logn = 0))
fit("slow", "monomolecular", slow, none, 0, even, list(logr = -0.3, logk = 2.1, logn = -0.7))
write.csv(out, "plotcurves_R.csv", row.names = FALSE, quote = FALSE)
