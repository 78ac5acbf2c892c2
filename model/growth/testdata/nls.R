# Reference fits of R's own growth data and of three published series, for the tests of the curves.
# Rscript nls.R > nls.txt      (R 4.2.2, package stats; writes growth_data.csv as well)
options(digits = 12)
show <- function(name, fit) {
  s <- summary(fit)
  cat(name, "df", s$df[2], "rss", format(deviance(fit), digits = 12), "\n")
  for (p in rownames(s$coefficients))
    cat(name, p, format(s$coefficients[p, 1:2], digits = 12), "\n")
}
# As far as rounding lets nls go: it stops where halving the step no longer lowers the sum of squares.
R <- nls.control(tol = 1e-9, maxiter = 500, minFactor = 1e-10, warnOnly = TRUE)
again <- function(name, form, data)  # the self-starting fit, sharpened
  show(name, nls(form, data, as.list(coef(nls(form, data))), control = R))
# R's own growth data: fits of single trees, runs, chicks and seed sources, and the rows for the Go tests.
rows <- NULL
keep <- function(set, name, x, y) rows <<- rbind(rows, data.frame(set = set, unit = name, x = x, y = y))
for (tree in 1:5) {
  d <- Orange[Orange$Tree == tree, ]
  keep("Orange", tree, d$age, d$circumference)
  again(paste0("Orange", tree), circumference ~ SSlogis(age, Asym, xmid, scal), d)
}
for (run in 1:3) {
  d <- DNase[DNase$Run == run, ]
  keep("DNase", run, d$conc, d$density)
  again(paste0("DNase", run), density ~ SSlogis(log(conc), Asym, xmid, scal), d)
  again(paste0("DNaseGompertz", run), density ~ SSgompertz(log(conc), Asym, b2, b3), d)
}
for (chick in c(1, 6, 13, 20)) {
  d <- ChickWeight[ChickWeight$Chick == chick, ]
  keep("ChickWeight", chick, d$Time, d$weight)
  again(paste0("ChickWeight", chick), weight ~ SSlogis(Time, Asym, xmid, scal), d)
}
for (seed in c(301, 303, 329)) {
  d <- Loblolly[Loblolly$Seed == seed, ]
  keep("Loblolly", seed, d$age, d$height)
  again(paste0("Loblolly", seed), height ~ SSgompertz(age, Asym, b2, b3), d)
  again(paste0("LoblollyRise", seed), height ~ SSasymp(age, Asym, R0, lrc), d)
}
write.csv(rows, "growth_data.csv", row.names = FALSE, quote = FALSE)

natural <- function(name, t, y, start)
  show(name, nls(y ~ K / (1 + (K / N0 - 1) * exp(-r * t)), data.frame(t, y), start, control = R))
yeast <- c(9.6, 18.3, 29.0, 47.2, 71.1, 119.1, 174.6, 257.3, 350.7, 441.0, 513.3, 559.7, 594.8, 629.4, 640.8, 651.1,
           655.9, 659.6, 661.8)
natural("yeast", 0:18, yeast, list(K = 660, r = 0.5, N0 = 10))
aurelia <- rowMeans(cbind(
  c(2,10,17,29,39,63,185,258,267,392,510,570,650,560,575,650,550,480,520,500),
  c(2,9,15,36,62,84,156,234,348,370,480,520,575,400,545,560,480,510,650,500),
  c(2,7,11,37,67,134,226,306,376,485,530,650,605,580,660,460,650,575,525,550)))
caudatum <- rowMeans(cbind(
  c(2,5,8,9,14,16,57,94,142,175,150,200,172,189,234,192,168,240,183,219),
  c(2,8,13,6,7,16,40,98,124,145,175,280,240,230,171,219,216,195,216,189),
  c(2,4,6,7,6,22,32,84,100,138,189,170,204,210,140,165,152,135,219,219)))
natural("aurelia", 0:19, aurelia, list(K = 560, r = 0.7, N0 = 3))
natural("caudatum", 0:19, caudatum, list(K = 200, r = 0.8, N0 = 0.5))
theta <- function(name, t, y, start)
  show(name, nls(y ~ K / (1 + ((K / N0)^th - 1) * exp(-r * th * t))^(1 / th), data.frame(t, y), start, control = R))
theta("yeastTheta", 0:18, yeast, list(K = 663, r = 0.55, N0 = 9, th = 1))
theta("aureliaTheta", 0:19, aurelia, list(K = 560, r = 0.7, N0 = 3, th = 1))
held <- function(name, t, y, start)
  show(name, nls(y ~ K / (1 + (K / 2 - 1) * exp(-r * t)), data.frame(t, y), start, control = R))
held("aurelia2", 0:19, aurelia, list(K = 560, r = 0.7))
held("caudatum2", 0:19, caudatum, list(K = 200, r = 0.7))
show("yeastw", nls(y ~ K / (1 + (K / N0 - 1) * exp(-r * t)), data.frame(t = 0:18, y = yeast), weights = 1 / yeast,
                   start = list(K = 660, r = 0.5, N0 = 10), control = R))

# A regrowth plot on the log scale with a season and two cuts, by the closed form, and profile t intervals (95 %).
# The clock starts with a cut at 50.2; 2.5 kg/m2 are cut at 52 after the measure, 1.5 at 53.2. Weights in kg/m2.
t <- c(50.3, 50.6, 51, 51.5, 52, 52.5, 53, 53.6, 54.3, 55.3)
y <- c(0.62, 1.27, 1.69, 3.95, 4.02, 4.36, 5.65, 6.97, 8.60, 8.05)
cuts <- data.frame(t = c(52, 53.2), kg = c(2.5, 1.5))
season <- function(t1, t2) t2 - t1 + 0.7 / (2 * pi) * (sin(2 * pi * (t2 - 0.4)) - sin(2 * pi * (t1 - 0.4)))
curve <- function(logr, logk, logn) {
  r <- exp(logr); k <- exp(logk); b <- exp(logn); at <- 50.2; out <- c()
  events <- rbind(data.frame(t = t, kg = NA), cuts)
  events <- events[order(events$t, !is.na(events$kg)), ]
  for (i in seq_len(nrow(events))) {
    b <- k / (1 + (k / b - 1) * exp(-r * season(at, events$t[i]))); at <- events$t[i]
    if (is.na(events$kg[i])) out <- c(out, log(b)) else b <- b - events$kg[i]
  }
  out
}
plot <- nls(log(y) ~ curve(logr, logk, logn), start = list(logr = 0.3, logk = 2.1, logn = -0.5),
            control = nls.control(tol = 1e-7, maxiter = 500, warnOnly = TRUE))
show("plot", plot)
best <- coef(plot); s2 <- deviance(plot) / 7
limits <- function(j) {
  tau <- function(v) {
    o <- best[-j]
    f <- function(p) {
      q <- best; q[-j] <- p; q[j] <- v
      s <- suppressWarnings(sum((log(y) - curve(q[1], q[2], q[3]))^2))
      if (is.finite(s)) s else 1e3
    }
    m <- optim(optim(o, f, control = list(maxit = 2000))$par, f, method = "BFGS", control = list(reltol = 1e-14))
    sqrt(max(0, m$value - deviance(plot)) / s2) - qt(0.975, 7)
  }
  c(uniroot(tau, best[j] - c(2, 1e-6), tol = 1e-9)$root, uniroot(tau, best[j] + c(1e-6, 2), tol = 1e-9)$root)
}
for (j in 1:2) cat("plot", names(best)[j], "limits", format(limits(j), digits = 9), "\n")
