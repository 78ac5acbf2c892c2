# Seconds that data.table's fread takes to read a table, on so many threads (0: all). One reading in a process of its own.
args <- commandArgs(trailingOnly = TRUE)
suppressPackageStartupMessages(library(data.table))
setDTthreads(as.integer(args[2]))
took <- system.time(x <- fread(args[1], showProgress = FALSE))[["elapsed"]]
stopifnot(nrow(x) == 1e6)
cat(sprintf("%.4f\n", took))
