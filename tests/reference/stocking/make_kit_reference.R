#!/usr/bin/env Rscript
# Recomputes every row of kit.csv: kits by looking at all combinations, steps by taking the largest gain for cost. Usage, from this
# folder: Rscript make_kit_reference.R   (R >= 4.2, no packages). Prints what differs and how many were compared; exit 1 on a difference.
table_of <- function(path) read.csv(path, comment.char = "#", stringsAsFactors = FALSE)
items <- table_of("kit_items.csv")
rows <- table_of("kit.csv")
expected_short <- function(n, mean) sum(pmax(0:200 - n, 0) * dpois(0:200, mean))
compared <- 0
wrong <- 0
note <- function(row, pieces, use, value, per_unit) {
  compared <<- compared + 1
  same <- paste(pieces, collapse = "-") == row$pieces && use == row$use && abs(value - row$value) <= row$tolerance
  if (!is.na(row$per_unit)) same <- same && abs(per_unit - row$per_unit) <= row$tolerance
  if (!same) {
    wrong <<- wrong + 1
    cat(sprintf("%s: file %s %g %.8f, here %s %g %.8f\n", row$id, row$pieces, row$use, row$value, paste(pieces, collapse = "-"), use, value))
  }
}
for (i in seq_len(nrow(rows))) {
  row <- rows[i, ]
  kit <- items[items$kit == row$kit, ]
  ready <- grepl("ready", row$quantity)
  # What is to be made small, item by item.
  value <- function(j, n) if (ready) -ppois(n, kit$mean[j], log.p = TRUE) else expected_short(n, kit$mean[j])
  total <- function(s) { v <- sum(mapply(value, seq_along(s), s)); if (ready) exp(-v) else v }
  gains <- function(s) sapply(seq_along(s), function(j) if (s[j] < kit$most[j]) (value(j, s[j]) - value(j, s[j] + 1)) / kit$cost[j] else -Inf)
  s <- rep(0, nrow(kit))
  gain <- NA
  if (grepl("^best", row$quantity)) {
    all <- as.matrix(expand.grid(lapply(kit$most, function(m) 0:m)))
    all <- all[all %*% kit$cost <= row$argument, , drop = FALSE]
    sums <- rowSums(sapply(seq_len(nrow(kit)), function(j) sapply(0:kit$most[j], function(n) value(j, n))[all[, j] + 1]))
    s <- all[which.min(sums), ]
  } else if (grepl("^step", row$quantity)) {
    for (step in seq_len(row$argument)) { g <- gains(s); j <- which.max(g); gain <- g[j]; s[j] <- s[j] + 1 }
  } else {
    repeat {
      g <- gains(s)
      if (grepl("^fill", row$quantity)) g[sum(s * kit$cost) + kit$cost > row$argument] <- -Inf
      j <- which.max(g)
      if (!is.finite(g[j]) || sum(s * kit$cost) + kit$cost[j] > row$argument) break
      s[j] <- s[j] + 1
    }
  }
  note(row, s, sum(s * kit$cost), total(s), gain)
}
cat(sprintf("%d rows compared, %d differ\n", compared, wrong))
quit(status = if (wrong > 0) 1 else 0)
