#!/usr/bin/env Rscript
# Recomputes every row of the tables in this folder and compares it with the file.
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
  list(shape = 1 / w$scale, scale = exp(unname(coef(w))), log_likelihood = w$loglik[2],
       se_log_scale = sqrt(w$var[1, 1]), se_log_inverse_shape = sqrt(w$var[2, 2]))
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
                  mtbf_upper_one_sided = 1 / lower(out), rate_upper_one_sided = upper(out),
                  rate_upper_interval = if (r == 0) upper(out) else upper(out / 2))
  compare(row$id, row$quantity, found, row$expected, row$tolerance)
}

# ---- Kaplan-Meier: survfit, delayed entry included
km_at <- function(set, age) {
  d <- records[records$set == set, ]
  s <- if (any(d$entry > 0)) Surv(d$entry, d$exit, d$kind == "failed") else Surv(d$exit, d$kind == "failed")
  found <- list()
  for (type in c("plain", "log", "log-log")) {
    k <- survfit(s ~ 1, conf.type = type, conf.int = .95)
    i <- match(age, k$time)
    name <- sub("-", "_", type)
    found[[paste0("lower_", name)]] <- k$lower[i]
    found[[paste0("upper_", name)]] <- k$upper[i]
  }
  c(list(at_risk = k$n.risk[i], survival = k$surv[i], standard_error = k$surv[i] * k$std.err[i]), found)
}

steps <- table_of("kaplan_meier.csv")
same <- function(row, found, tolerance) {
  for (what in names(found)) {
    if (is.na(row[[what]])) {
      compare(row$id, what, as.numeric(is.finite(found[[what]])), 0, 0)
    } else {
      compare(row$id, what, found[[what]], row[[what]], tolerance * if (is.null(row$relative)) 1 else abs(row[[what]]))
    }
  }
}
for (i in seq_len(nrow(steps))) {
  found <- km_at(steps$set[i], steps$age[i])
  # at survival 0 survfit still prints a deviation of 0 or none, by version: no figure is given
  if (found$survival == 0) found <- found[c("at_risk", "survival")]
  same(steps[i, ], found, steps$tolerance[i])
}

# ---- mean cumulative function, written out: mean, Nelson's, robust and Poisson standard errors
histories <- function(file) table_of(file.path("..", "data", file))
mcf_at <- function(file, age) {
  v <- histories(file)
  ids <- unique(v$id)
  end <- tapply(v$time, v$id, max)[as.character(ids)]
  ages <- sort(unique(v$time[v$status == 1 & v$time <= age]))
  n <- sapply(ages, function(a) sapply(ids, function(i) sum(v$id == i & v$time == a & v$status == 1)))
  n <- matrix(n, nrow = length(ids))
  r <- matrix(sapply(ages, function(a) end >= a), nrow = length(ids))
  y <- colSums(r)
  step <- colSums(n) / y
  robust <- sum(rowSums(sweep(r * sweep(n, 2, step), 2, y, "/"))^2)
  nelson <- 0
  for (p in seq_along(ages)) for (q in seq_along(ages)) {
    later <- r[, max(p, q)]
    nelson <- nelson + cov(n[later, p], n[later, q]) / y[min(p, q)]
  }
  list(at_risk = y[length(y)], mean = sum(step), se_nelson = sqrt(nelson), se_robust = sqrt(robust),
       se_poisson = sqrt(sum(step / y)))
}

means <- table_of("mcf.csv")
for (i in seq_len(nrow(means))) same(means[i, ], mcf_at(means$file[i], means$age[i]), means$tolerance[i])

# ---- histories of repairable systems: list of (ages, end, failure-terminated)
air <- histories("proschan-aircond.csv")
plane <- function(series) {
  ages <- cumsum(air$hours[air$series == series])
  list(ages = ages, end = max(ages), failure = TRUE)
}
valve <- histories("valveseat.csv")
event_sets <- list("nist-repair-10" = list(list(ages = histories("nist-repair-10.csv")$age_hours, end = 1500, failure = FALSE)),
                   "mil189-27" = list(list(ages = histories("mil189-27.csv")$age_hours, end = 300, failure = FALSE)),
                   "aircond-all" = lapply(unique(air$series), plane),
                   "valveseat" = lapply(unique(valve$id), function(i) {
                     d <- valve[valve$id == i, ]
                     list(ages = sort(d$time[d$status == 1]), end = max(d$time), failure = FALSE)
                   }))
for (series in c("8044", "7914", "7912", "7913", "7907")) event_sets[[paste0("aircond-", series)]] <- list(plane(series))
counted <- function(s) if (s$failure) s$ages[-length(s$ages)] else s$ages

trend_of <- function(systems) {
  sum_over <- function(f) sum(unlist(lapply(systems, f)))
  u <- sum_over(function(s) counted(s) - s$end / 2) / sqrt(sum_over(function(s) length(counted(s)) * s$end^2 / 12))
  chi <- sum_over(function(s) 2 * log(s$end / counted(s)))
  df <- 2 * sum_over(function(s) length(counted(s)))
  list(laplace_u = u, laplace_two_sided = 2 * pnorm(-abs(u)), military_chi_square = chi, military_degrees = df,
       military_chance_at_most = pchisq(chi, df))
}

trends <- table_of("trend.csv")
trends_found <- lapply(event_sets, trend_of)
for (i in seq_len(nrow(trends))) {
  row <- trends[i, ]
  compare(row$id, row$quantity, trends_found[[row$set]][[row$quantity]], row$expected, row$tolerance)
}

# ---- likelihood-ratio intervals: for each value of the quantity the best shape, then the root of the drop
log_likelihood <- function(d, t, z) {
  k <- exp(z)
  span <- function(a, b) ifelse(b > a, ifelse(a > 0, -exp(k * (log(b) - t)) * expm1(k * log(pmax(a, 1e-300) / b)), exp(k * (log(b) - t))), 0)
  last <- ifelse(d$kind == "interval", d$lower, d$exit)
  failed <- d$kind == "failed"
  between <- d$kind == "interval"
  x <- span(d$lower[between], d$exit[between])
  sum(z - log(d$exit[failed]) + k * (log(d$exit[failed]) - t)) - sum(span(d$entry, last)) + sum(log(-expm1(-x)))
}
best_over <- function(f, low, high) {
  grid <- seq(low, high, length.out = 120)
  values <- sapply(grid, f)
  i <- which.max(values)
  optimize(f, grid[pmin(120, pmax(1, i + c(-1, 1)))], maximum = TRUE, tol = 1e-11)$objective
}
interval_of <- function(set, quantity, level) {
  d <- records[records$set == set, ]
  o <- optim(c(log(max(d$exit)), 0), function(p) -max(-1e10, log_likelihood(d, p[1], p[2])), control = list(reltol = 1e-15, maxit = 5000))
  o <- optim(o$par, function(p) -max(-1e10, log_likelihood(d, p[1], p[2])), control = list(reltol = 1e-16, maxit = 5000))
  t <- o$par[1]
  z <- o$par[2]
  floor <- -o$value - qchisq(level, 1) / 2
  if (quantity == "shape") {
    # around the scale that exact failures would have: shape * ln scale keeps its size for any shape
    profile <- function(x) {
      k <- exp(x)
      last <- ifelse(d$kind == "interval", d$lower, d$exit)
      middle <- log(sum(last^k - d$entry^k) / sum(d$kind != "alive"))
      best_over(function(u) max(-1e10, log_likelihood(d, u / k, x)), middle - 8, middle + 8)
    }
    at <- z
  } else {
    profile <- function(x) best_over(function(z) max(-1e10, log_likelihood(d, x, z)), z - 7, z + 2)
    at <- t
  }
  root <- function(side) {
    step <- .05
    while (profile(at + side * step) > floor) {
      step <- step * 2
      if (step > if (quantity == "shape") 12 else 60) return(NA) # farther than e^-50 or e^50 of the best: there is no end
    }
    exp(uniroot(function(x) profile(x) - floor, sort(at + side * c(step / 2, step)), extendInt = "yes", tol = 1e-13)$root)
  }
  list(lower = root(-1), upper = root(1))
}

intervals <- table_of("weibull_interval.csv")
intervals$relative <- TRUE
for (i in seq_len(nrow(intervals))) {
  row <- intervals[i, ]
  same(row, interval_of(row$set, row$quantity, row$level), row$tolerance)
}

# ---- age replacement: the root of h(T) integral R - F = 1 / (ratio - 1)
for (row in split(table_of("age_replacement.csv"), seq_len(60))) {
  k <- row$shape
  lived <- function(t) gamma(1 + 1 / k) * pgamma(t^k, 1 / k)
  age <- uniroot(function(t) k * t^(k - 1) * lived(t) - (1 - exp(-t^k)) - 1 / (row$ratio - 1), c(.001, 50), tol = 1e-13)$root
  cost <- (exp(-age^k) + row$ratio * (1 - exp(-age^k))) / lived(age)
  found <- switch(row$quantity, age = age, cost_rate = cost,
                  share_of_running_to_failure = cost / (row$ratio / gamma(1 + 1 / k)))
  compare(row$id, row$quantity, found, row$expected, row$tolerance)
}

# ---- failure finding: the share of the interval that a unit good at `age` is expected to be dead
finding <- table_of("failure_finding.csv")
for (i in seq_len(nrow(finding))) {
  row <- finding[i, ]
  age <- if (grepl("_aged_", row$quantity)) as.numeric(sub(".*_aged_", "", row$quantity)) else 0
  dead <- function(t) {
    lives <- function(u) exp((age / row$scale)^row$first - ((age + u) / row$scale)^row$first)
    1 - integrate(lives, 0, t, rel.tol = 1e-13)$value / t
  }
  found <- switch(sub("_aged_.*", "", row$quantity), unavailability = dead(row$argument),
                  interval = uniroot(function(t) dead(t) - (1 - row$argument), row$scale * c(1e-4, 1), tol = 1e-13)$root)
  compare(row$id, row$quantity, found, row$expected, row$tolerance)
}

# ---- figures that stand in the test programs
figure <- function(id, found, expected, tolerance) compare(id, "", found, expected, tolerance)
figure("WEI-FIXEDSHAPE2-0FAIL-SCALE-L95", sqrt(sum(c(1000, 1500, 2000)^2) / qgamma(.95, 1)), 1555.670098, 1e-6)

cat(sprintf("%d figures compared, %d differ\n", compared, wrong))
quit(status = if (wrong > 0) 1 else 0)
