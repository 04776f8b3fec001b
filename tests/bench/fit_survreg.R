# Fits a Weibull life to each part's records, as `carry` does on its way, by maximum likelihood.
#   Rscript fit_survreg.R records.csv [seconds.txt]
# With a second file, the seconds of the fits alone (R's own start and reading left out) are added
# to it.
words <- commandArgs(trailingOnly = TRUE)
suppressPackageStartupMessages(library(survival))
records <- read.csv(words[1])
parts <- split(records, records$part)
took <- system.time(fits <- lapply(parts, function(lives) {
  fit <- survreg(Surv(days, failed) ~ 1, data = lives, dist = "weibull")
  c(scale = exp(unname(coef(fit))), shape = 1 / fit$scale)
}))[["elapsed"]]
stopifnot(all(is.finite(unlist(fits))))
if (length(words) > 1) cat(took, "\n", file = words[2], append = TRUE)
