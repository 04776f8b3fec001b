#!/usr/bin/env Rscript
# Recomputes every row of stock.csv and renewal.csv by R's own distributions, direct sums, numerical integration and power
# series, and compares with the files. Usage, from this folder: Rscript make_stocking_reference.R   (R >= 4.2, no packages)
# Prints one line a figure that differs by more than its tolerance, then how many were compared; exit 1 on any difference.
table_of <- function(path) read.csv(path, comment.char = "#", stringsAsFactors = FALSE, colClasses = "character")
compared <- 0
wrong <- 0
compare <- function(row, found) {
  compared <<- compared + 1
  if (!isTRUE(abs(found - as.numeric(row$expected)) <= as.numeric(row$tolerance))) {
    wrong <<- wrong + 1
    cat(sprintf("%s: file %s, here %.12g\n", row$id, row$expected, found))
  }
}

# ---- counts and levels
rows <- table_of("stock.csv")
for (i in seq_len(nrow(rows))) {
  row <- rows[i, ]
  first <- as.numeric(row$first)
  second <- suppressWarnings(as.numeric(row$second))
  n <- suppressWarnings(as.numeric(row$argument))
  lambda <- suppressWarnings(as.numeric(row$argument2))
  if (row$demand == "poisson") {
    density <- function(k) dpois(k, first)
    below <- function(k) ppois(k, first)
    smallest <- function(p) qpois(p, first)
  } else if (row$demand == "gamma_poisson") {
    density <- function(k) dnbinom(k, first, second / (second + 1))
    below <- function(k) pnbinom(k, first, second / (second + 1))
    smallest <- function(p) qnbinom(p, first, second / (second + 1))
  } else {
    # The lead time integrated numerically, not through the identity.
    density <- function(k) integrate(function(l) dpois(k, lambda * l) * dgamma(l, first, scale = second / first), 0, Inf, rel.tol = 1e-11)$value
    below <- function(k) sum(vapply(0:k, density, 0))
    smallest <- function(p) { k <- 0; while (below(k) < p) k <- k + 1; k }
  }
  k <- 0:400
  found <- switch(row$quantity,
    chance = below(n), above = 1 - below(n), mass = density(n), lead_mass = density(n),
    covering = smallest(n), reorder_point = smallest(n), lead_reorder_point = smallest(n),
    shortage = sum(pmax(k - n, 0) * density(k)),
    lead_mean = lambda * second, lead_variance = lambda * second * (1 + lambda * second / first))
  compare(row, found)
}

# ---- renewal counts: power series in t^shape for a new unit, convolution on a grid for an aged one
series <- function(shape, t, most = 40, terms = 110) {
  g <- function(m) exp(lgamma(shape * m + 1) - lgamma(m + 1))
  rows <- matrix(0, most + 2, terms + 1)
  rows[1, ] <- g(0:terms)
  for (n in 0:most) for (j in (n + 1):terms) { m <- n:(j - 1); rows[n + 2, j + 1] <- sum(rows[n + 1, m + 1] * g(j - m)) }
  sapply(0:most, function(n) {
    j <- n:terms
    term <- (-1)^(j + n) * exp(shape * j * log(t) + log(rows[n + 1, j + 1]) - lgamma(shape * j + 1))
    sum(term[is.finite(term)])
  })
}
aged <- function(shape, age, t, most = 8) {
  once <- function(steps) {
    at <- (0:steps) * t / steps
    now <- 1 - exp(age^shape - (age + at)^shape)
    step <- diff(pweibull(at, shape, 1))
    tails <- c(1, now[steps + 1])
    for (k in 2:most) {
      middle <- (now[-1] + now[-(steps + 1)]) / 2
      now <- c(0, convolve(middle, rev(step), type = "open")[1:steps])
      tails <- c(tails, now[steps + 1])
    }
    tails
  }
  best <- (4 * once(4000) - once(2000)) / 3
  -diff(c(best, 0))
}
rows <- table_of("renewal.csv")
kept <- list()
for (i in seq_len(nrow(rows))) {
  row <- rows[i, ]
  if (as.numeric(row$shape) < 0.3) next  # the series cancels: make_small_shape_reference.py
  key <- paste(row$shape, row$age, row$exposure)
  if (is.null(kept[[key]])) {
    shape <- as.numeric(row$shape); age <- as.numeric(row$age); t <- as.numeric(row$exposure)
    kept[[key]] <- if (age > 0) aged(shape, age, t) else series(shape, t)
  }
  p <- kept[[key]]
  k <- as.numeric(row$k)
  found <- switch(row$quantity, count = p[k + 1], at_least = sum(rev(p[-seq_len(k)])),
                  sum((seq_along(p) - 1) * p))
  compare(row, found)
}
cat(sprintf("%d figures compared, %d differ\n", compared, wrong))
quit(status = if (wrong > 0) 1 else 0)
