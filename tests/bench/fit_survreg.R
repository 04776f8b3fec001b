# Fits a Weibull life to each part's records, as `carry` does on its way, by maximum likelihood.
#   Rscript fit_survreg.R records.csv [seconds.txt]
# With a second file, the seconds spent inside (reading and fitting, R's own start left out) are
# added to it.
words <- commandArgs(trailingOnly = TRUE)
suppressPackageStartupMessages(library(survival))
began <- proc.time()[["elapsed"]]
records <- read.csv(words[1])
fits <- lapply(split(records, records$part), function(lives) {
  fit <- survreg(Surv(days, failed) ~ 1, data = lives, dist = "weibull")
  c(scale = exp(unname(coef(fit))), shape = 1 / fit$scale)
})
took <- proc.time()[["elapsed"]] - began
stopifnot(all(is.finite(unlist(fits))))
if (length(words) > 1) cat(took, "\n", file = words[2], append = TRUE)
