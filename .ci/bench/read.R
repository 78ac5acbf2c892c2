# Seconds that data.table's fread takes to read a table, and on how many threads: those that it takes by default, or all.
# One reading in a process of its own.
args <- commandArgs(trailingOnly = TRUE)
suppressPackageStartupMessages(library(data.table))
if (args[2] == "all") setDTthreads(0)
took <- system.time(x <- fread(args[1], showProgress = FALSE))[["elapsed"]]
stopifnot(nrow(x) == 1e6)
cat(sprintf("%.4f %d\n", took, getDTthreads()))
