# Two-stage samples that R's package survey ships (mu284: Särndal, Swensson & Wretman 1992; apiclus2: California schools),
# with finite population correction at both stages. Run: Rscript stages.R   (R 4.2.2, survey 4.1.1)
suppressMessages(library(survey))
data(mu284); data(api)
write.csv(data.frame(set = "mu284", cluster = mu284$id1, clusters = mu284$n1, size = mu284$n2, y = mu284$y1), "mu284.csv",
  row.names = FALSE, quote = FALSE)
write.csv(data.frame(set = "apiclus2", cluster = apiclus2$dnum, clusters = apiclus2$fpc1, size = as.numeric(apiclus2$fpc2), y = apiclus2$api00),
  "apiclus2.csv", row.names = FALSE, quote = FALSE)
m <- svydesign(id = ~id1 + id2, fpc = ~n1 + n2, data = mu284)
a <- svydesign(id = ~dnum + snum, fpc = ~fpc1 + fpc2, data = apiclus2)
show <- function(name, x) cat(sprintf("%s,%.12g,%.12g\n", name, coef(x)[[1]], SE(x)[[1]]))
sink("stages_R.csv")
cat("name,value,se\n")
show("mu284 total", svytotal(~y1, m)); show("mu284 mean", svymean(~y1, m))
show("apiclus2 total", svytotal(~api00, a)); show("apiclus2 mean", svymean(~api00, a))
sink()
