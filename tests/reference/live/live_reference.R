#!/usr/bin/env Rscript
# Solves the problems of a folder with R: Rscript live_reference.R FOLDER
# Reads lives.csv, events.csv and quantiles.csv there; writes answers.csv (id,what,age,value).
suppressPackageStartupMessages(library(survival))
folder <- commandArgs(trailingOnly = TRUE)[1]
read_table <- function(name) read.csv(file.path(folder, name), stringsAsFactors = FALSE)
answers <- file(file.path(folder, "answers.csv"), "w")
# R 4.2 prints 17 digits that read back to the same double
answer <- function(id, what, age, value) writeLines(sprintf("%s,%s,%.17g,%.17g", id, what, age, value), answers)

by_survreg <- function(d) {
  low <- ifelse(d$kind == "interval", ifelse(d$lower > 0, d$lower, NA), d$exit)
  high <- ifelse(d$kind == "alive", NA, d$exit)
  w <- survreg(Surv(low, high, type = "interval2") ~ 1, dist = "weibull",
               control = survreg.control(rel.tolerance = 1e-13, maxiter = 300))
  list(shape = 1 / w$scale, scale = exp(unname(coef(w))), log_likelihood = w$loglik[2])
}
# Delayed entry, which survreg does not know: optim on the likelihood, then the root of its score in
# the shape, for which the best scale is closed.
by_optim <- function(d) {
  failed <- d$kind == "failed"
  n <- sum(failed)
  likelihood <- function(t, z) {
    k <- exp(z)
    power <- function(x) ifelse(x > 0, exp(k * (log(x) - t)), 0)
    sum(z - log(d$exit[failed]) + k * (log(d$exit[failed]) - t)) - sum(power(d$exit) - power(d$entry))
  }
  o <- optim(c(log(mean(d$exit)), 0), function(p) -max(-1e10, likelihood(p[1], p[2])), control = list(reltol = 1e-14, maxit = 3000))
  score <- function(z) {
    k <- exp(z)
    slope <- function(x) ifelse(x > 0, x^k * log(x), 0)
    n / k - n * sum(slope(d$exit) - slope(d$entry)) / sum(d$exit^k - d$entry^k) + sum(log(d$exit[failed]))
  }
  z <- uniroot(score, o$par[2] + c(-1e-3, 1e-3), extendInt = "yes", tol = 1e-14)$root
  stopifnot(abs(z - o$par[2]) < 1e-2)
  t <- log(sum(d$exit^exp(z) - d$entry^exp(z)) / n) / exp(z)
  list(shape = exp(z), scale = exp(t), log_likelihood = likelihood(t, z))
}

for (d in split(read_table("lives.csv"), ~ id)) {
  id <- d$id[1]
  late <- d$watching[1] == "entered_late"
  fit <- if (late) by_optim(d) else by_survreg(d)
  for (what in names(fit)) answer(id, what, 0, fit[[what]])
  if (d$watching[1] == "looked_at") next
  s <- if (late) Surv(d$entry, d$exit, d$kind == "failed") else Surv(d$exit, d$kind == "failed")
  k <- survfit(s ~ 1, conf.type = "log-log", conf.int = .9)
  at <- k$n.event > 0
  answer(id, "km_survival", k$time[at], k$surv[at])
  alive <- at & k$surv > 1e-12
  if (any(alive)) {
    answer(id, "km_standard_error", k$time[alive], k$surv[alive] * k$std.err[alive])
    answer(id, "km_lower", k$time[alive], k$lower[alive])
    answer(id, "km_upper", k$time[alive], k$upper[alive])
  }
}

for (d in split(read_table("events.csv"), ~ id)) {
  if (sum(d$status) == 0) next
  k <- survfit(Surv(start, stop, status) ~ 1, data = d, id = system)
  at <- k$n.event > 0
  answer(d$id[1], "mcf_mean", k$time[at], k$cumhaz[at])
  answer(d$id[1], "mcf_robust_error", k$time[at], k$std.chaz[at])
}

q <- read_table("quantiles.csv")
for (i in seq_len(nrow(q))) {
  answer(q$id[i], "quantile", 0, qchisq(q$probability[i], q$degrees[i]))
}
close(answers)
