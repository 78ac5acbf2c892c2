# How often 95 % intervals of mean cover hold the truth where cover was read in classes and the middle of a class is taken:
# without an error for the classes, with d^2/12 for each quadrat by itself, and with d^2/12 shared by all quadrats of a class.
# Beds of known distribution of cover (share of empty quadrats; beta of the others), simple random samples, 3000 surveys each.
set.seed(1)
scales <- list("sacfor massive" = c(0,1,5,10,20,40,100), "sacfor crust" = c(0,1,5,10,20,40,80,100),
  "braun-blanquet" = c(0,1,5,25,50,75,100), "daubenmire" = c(0,5,25,50,75,95,100))
beds <- list("even" = c(0,1,1), "about 50" = c(0,5,5), "about 31" = c(0,4,9), "thin, 10" = c(0,1,9), "all or nothing" = c(0,.4,.4),
  "full, 90" = c(0,9,1), "half empty, else 60" = c(.5,6,4), "a third empty, else 95" = c(.33,19,1), "close to 50" = c(0,30,30),
  "close to 42" = c(0,42,58), "very thin, 2" = c(.3,1,49))
surveys <- 3000
cat("scale,bed,n,bias,sd,none,apart,shared,measured\n")
for (name in names(scales)) {
  e <- scales[[name]]; mid <- (e[-1] + e[-length(e)])/2; d <- diff(e)
  for (bed in names(beds)) for (n in c(12, 40)) {
    b <- beds[[bed]]
    x <- matrix(100*rbeta(surveys*n, b[2], b[3])*(runif(surveys*n) >= b[1]), surveys)
    truth <- 100*(1 - b[1])*b[2]/(b[2] + b[3])
    k <- pmin(pmax(findInterval(x, e), 1), length(mid)); dim(k) <- dim(x)
    m <- ifelse(x > 0, mid[k], 0); w <- ifelse(x > 0, d[k], 0); dim(m) <- dim(w) <- dim(x)
    v <- apply(m, 1, var)/n
    apart <- rowSums(w^2/12)/n^2
    shared <- 0
    for (j in seq_along(mid)) shared <- shared + rowMeans(k == j & x > 0)^2*d[j]^2/12
    held <- function(extra) {
      all <- v + extra
      df <- ifelse(v > 0, all^2/(v^2/(n - 1)), 1e9)
      mean(abs(rowMeans(m) - truth) <= ifelse(all > 0, qt(.975, pmin(df, 1e9))*sqrt(all), 0))
    }
    measured <- mean(abs(rowMeans(x) - truth) <= qt(.975, n - 1)*apply(x, 1, sd)/sqrt(n))
    cat(sprintf("%s,\"%s\",%d,%.2f,%.2f,%.3f,%.3f,%.3f,%.3f\n", name, bed, n, mean(rowMeans(m)) - truth, sd(rowMeans(m)),
      held(0), held(apart), held(shared), measured))
  }
}
