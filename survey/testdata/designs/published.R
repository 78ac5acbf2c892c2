# The worked examples of R's package survey that its own data allow, by the same package.
# Run: Rscript published.R  Writes published.csv (the samples, from data(api), data(hospital)) and published_R.csv.
# Run with R 4.2.2 and survey 4.1.1. Data: Academic Performance Index, California Department of Education, as shipped with
# the package.
library(survey)
data(api); data(hospital)
keep <- function(d, sample, stratum, cluster) data.frame(sample = sample, stratum = stratum, cluster = cluster,
  weight = d$pw, enroll = d$enroll, api_stu = d$api.stu, api00 = d$api00)
d <- rbind(keep(apistrat, "strat", as.character(apistrat$stype), ""), keep(apisrs, "srs", "", ""),
  keep(apiclus1, "clus1", "", apiclus1$dnum), keep(apiclus2, "clus2", "", apiclus2$dnum),
  data.frame(sample = "hospital", stratum = hospital$oblevel, cluster = "", weight = hospital$weighta,
    enroll = hospital$births, api_stu = hospital$births, api00 = hospital$births))
d <- d[!is.na(d$enroll), ]
write.csv(d, "published.csv", row.names = FALSE, quote = FALSE)
out <- data.frame(name = character(), value = numeric())
put <- function(name, value) out[nrow(out) + 1, ] <<- list(name, as.numeric(value))
both <- function(name, x) { put(name, coef(x)[1]); put(paste(name, "se"), as.numeric(SE(x))[1]) }
strat <- svydesign(id = ~1, strata = ~stype, weights = ~pw, data = apistrat, fpc = ~fpc)
both("strat enroll", svytotal(~enroll, strat)); both("strat api00", svymean(~api00, strat))
both("strat ratio", svyratio(~api.stu, ~enroll, strat))
both("strat ratio above 600", svyratio(~api.stu, ~enroll, subset(strat, api00 > 600)))
both("strat E enroll", svytotal(~enroll, subset(strat, stype == "E")))
put("strat deff", deff(svytotal(~enroll, svydesign(id = ~1, strata = ~stype, weights = ~pw, data = apistrat), deff = "replace")))
srs <- svydesign(id = ~1, weights = ~pw, data = apisrs, fpc = ~fpc)
both("srs enroll", svytotal(~enroll, srs)); both("srs api00", svymean(~api00, srs))
both("srs api00 without fpc", svymean(~api00, svydesign(id = ~1, weights = ~pw, data = apisrs)))
clus1 <- svydesign(id = ~dnum, weights = ~pw, data = apiclus1, fpc = ~fpc)
both("clus1 api00", svymean(~api00, clus1)); both("clus1 enroll", svytotal(~enroll, clus1))
w1 <- svydesign(id = ~dnum, weights = ~pw, data = apiclus1)
both("clus1 api00 without fpc", svymean(~api00, w1)); put("clus1 df", degf(w1))
put("clus1 deff", deff(svymean(~api00, w1, deff = "replace")))
clus2 <- svydesign(id = ~dnum, weights = ~m2, data = transform(apiclus2[!is.na(apiclus2$enroll), ], m2 = 1))
both("clus2 api00 equal weights", svymean(~api00, clus2)); both("clus2 ratio", svyratio(~api.stu, ~enroll, clus2))
h <- svydesign(id = ~1, strata = ~oblevel, weights = ~weighta, data = hospital)
both("hospital births", svytotal(~births, h))
hf <- svydesign(id = ~1, strata = ~oblevel, weights = ~weighta, data = hospital, fpc = ~tothosp)
both("hospital births fpc", svytotal(~births, hf))
write.table(data.frame(name = out$name, value = sprintf("%.17g", out$value)), "published_R.csv", sep = ",", row.names = FALSE, quote = FALSE)
