#!/usr/bin/env Rscript
# Recomputes every row of weibull_fit.csv, constant_rate.csv, gamma_rate.csv and discrete.csv and compares it with the file.
# Usage, from this folder:  Rscript make_stats_reference.R        (R >= 4.2 with the package survival)
# Prints one line a figure that differs by more than its tolerance, then the number of figures compared; exit 1 on any difference.
suppressPackageStartupMessages(library(survival))
table_of <- function(path) read.csv(path, comment.char = "#", stringsAsFactors = FALSE)
compared <- 0
wrong <- 0
compare <- function(id, what, found, expected, tolerance) {
  compared <<- compared + 1
  if (!isTRUE(abs(found - expected) <= tolerance)) {
    wrong <<- wrong + 1
    cat(sprintf("%s %s: file %.12g, here %.12g\n", id, what, expected, found))
  }
}

# ---- Weibull fits: survreg where it can, else the written-out likelihood
records <- table_of("../data/life_records.csv")
records <- records[rep(seq_len(nrow(records)), records$count), ]
by_survreg <- function(d) {
  low <- ifelse(d$kind == "interval", ifelse(d$lower > 0, d$lower, NA), d$exit)
  high <- ifelse(d$kind == "alive", NA, d$exit)
  s <- Surv(low, high, type = "interval2")
  w <- survreg(s ~ 1, dist = "weibull", control = survreg.control(rel.tolerance = 1e-13, maxiter = 200))
  e <- survreg(s ~ 1, dist = "exponential", control = survreg.control(rel.tolerance = 1e-13, maxiter = 200))
  list(shape = 1 / w$scale, scale = exp(unname(coef(w))), log_likelihood = w$loglik[2],
       se_log_scale = sqrt(w$var[1, 1]), se_log_inverse_shape = sqrt(w$var[2, 2]),
       exponential_mean = exp(unname(coef(e))), exponential_log_likelihood = e$loglik[2])
}
# Delayed entry, known ages: for a given shape the best scale is closed, so one dimension is left.
by_profile <- function(d) {
  stopifnot(all(d$kind != "interval"))
  failed <- d$kind == "failed"
  n <- sum(failed)
  profile <- function(z) {
    k <- exp(z)
    a <- sum(d$exit^k - d$entry^k)
    n * log(k) - n * log(a / n) + (k - 1) * sum(log(d$exit[failed])) - n
  }
  z <- optimize(profile, c(-3, 4), maximum = TRUE, tol = 1e-10)$maximum
  score <- function(z) {
    k <- exp(z)
    power <- function(x) ifelse(x > 0, x^k * log(x), 0)
    n / k - n * sum(power(d$exit) - power(d$entry)) / sum(d$exit^k - d$entry^k) + sum(log(d$exit[failed]))
  }
  z <- uniroot(score, z + c(-1e-3, 1e-3), extendInt = "yes", tol = 1e-14)$root
  k <- exp(z)
  list(shape = k, scale = (sum(d$exit^k - d$entry^k) / n)^(1 / k), log_likelihood = profile(z))
}
fits <- table_of("weibull_fit.csv")
for (i in seq_len(nrow(fits))) {
  row <- fits[i, ]
  d <- records[records$set == row$set, ]
  found <- if (is.na(row$se_log_scale)) by_profile(d) else by_survreg(d)
  for (what in names(found)) {
    tolerance <- row$tolerance
    if (grepl("^se_", what)) tolerance <- 1e-5
    if (!grepl("log_likelihood", what)) tolerance <- tolerance * abs(row[[what]])
    compare(row$id, what, found[[what]], row[[what]], tolerance)
  }
}

# ---- constant rate
rates <- table_of("constant_rate.csv")
for (i in seq_len(nrow(rates))) {
  row <- rates[i, ]
  r <- row$failures
  extra <- if (row$termination == "time") 1 else 0
  upper <- function(outside) qchisq(1 - outside, 2 * (r + extra)) / (2 * row$exposure)
  lower <- function(outside) qchisq(outside, 2 * r) / (2 * row$exposure)
  out <- 1 - row$level
  found <- switch(row$quantity, mtbf_point = row$exposure / r, mtbf_lower_two_sided = 1 / upper(out / 2),
                  mtbf_upper_two_sided = 1 / lower(out / 2), mtbf_lower_one_sided = 1 / upper(out),
                  rate_upper_one_sided = upper(out))
  compare(row$id, row$quantity, found, row$expected, row$tolerance)
}

# ---- gamma beliefs of a rate
gammas <- table_of("gamma_rate.csv")
for (i in seq_len(nrow(gammas))) {
  row <- gammas[i, ]
  a <- row$prior_shape + row$failures
  b <- row$prior_exposure + row$exposure
  future <- suppressWarnings(as.numeric(sub(".*_", "", row$quantity)))
  found <- switch(sub("_[0-9]+$", "", row$quantity), mtbf_exceeded = 1 / qgamma(row$argument, a, b),
                  rate_cdf = pgamma(row$argument, a, b), rate_quantile = qgamma(row$argument, a, b),
                  predictive_pmf = dnbinom(row$argument, a, b / (b + future)),
                  predictive_smallest = qnbinom(row$argument, a, b / (b + future)))
  compare(row$id, row$quantity, found, row$expected, row$tolerance)
}

# ---- counts
counts <- table_of("discrete.csv")
erlang_loss <- function(a, c) { b <- 1; for (k in seq_len(c)) b <- a * b / (k + a * b); b }
for (i in seq_len(nrow(counts))) {
  row <- counts[i, ]
  x <- row$argument
  found <- switch(row$quantity, poisson_cdf = ppois(x, row$first), poisson_smallest = qpois(x, row$first),
                  negative_binomial_pmf = dnbinom(x, row$first, row$second),
                  negative_binomial_cdf = pnbinom(x, row$first, row$second),
                  erlang_cdf = pgamma(row$second, x, row$first), erlang_b = erlang_loss(row$first, x))
  compare(row$id, row$quantity, found, row$expected, row$tolerance)
}

# ---- figures that stand in the test programs
figure <- function(id, found, expected, tolerance) compare(id, "", found, expected, tolerance)
figure("BAYES-NIST-TESTTIME", 600 * qgamma(.8, 4) - 1400, 1909.027429, 1e-6)
a <- uniroot(function(a) qgamma(.95, a) / qgamma(.5, a) - 600 / 250, c(.5, 20), tol = 1e-13)$root
figure("BAYES-5095-a", a, 2.863055306, 1e-8)
figure("BAYES-5095-b", 600 * qgamma(.5, a), 1522.505622, 1e-5)
figure("BAYES-5095-T-r2-M500-80", 500 * qgamma(.8, a + 2) - 600 * qgamma(.5, a), 1756.104723, 1e-5)
figure("WEI-FIXEDSHAPE2-SCALE", sqrt(sum(c(1500, 1750, 2250, 4000, 4300, 5000, 7000)^2) / 5), 4875.756352, 1e-6)
figure("WEI-FIXEDSHAPE2-0FAIL-SCALE-L95", sqrt(sum(c(1000, 1500, 2000)^2) / qgamma(.95, 1)), 1555.670098, 1e-6)

cat(sprintf("%d figures compared, %d differ\n", compared, wrong))
quit(status = if (wrong > 0) 1 else 0)
