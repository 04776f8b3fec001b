#pragma once
/// Log-likelihood of a Weibull life on failed, alive, interval and repaired records.

#include <span>

#include "shearpin/stats/weibull.hpp"

namespace shearpin::stats {

/// Sum over the records of the log of what each one tells about `life`, ages in the unit of
/// life.scale. With H(a) = (a/scale)^shape and h = dH/da:
///   failed    ln h(exit) - [H(exit) - H(entry)]
///   alive     -[H(exit) - H(entry)]
///   interval  -[H(lower) - H(entry)] + ln(1 - exp(-[H(exit) - H(lower)]))
///   repaired  ln h(exit)
/// Densities are densities of the age itself, not of its logarithm; intervals are probabilities. A
/// failure found at the first look is the interval from 0. Records: any order, ties allowed, an
/// empty span gives 0. A life alive at the age it was entered at gives 0. InputError as
/// check_records; InputError unless scale and shape are finite and above 0. The result may be
/// -infinity where the life makes the record impossible in double precision. Accuracy: differences
/// of H through expm1, so nearly equal ages lose nothing; relative error about 1e-14 a record.
/// Source: Lawless 2003, Statistical Models and Methods for Lifetime Data, ch. 2 and 5 (from
/// memory); minimal repair: non-homogeneous Poisson process with intensity h. Checked in
/// tests/reference/stats/weibull_fit.csv.
double log_likelihood(const Weibull& life, std::span<const LifeRecord> records);

/// Refuses, with InputError naming the record's number (from 1) and its ages, any record for which
/// does not hold: all ages finite and >= 0; entry <= exit; failed and repaired exit > 0 (a failure
/// on the day of fitting counts as half a day or half a unit: the caller's rule); failed exit >
/// entry; interval entry <= lower < exit.
void check_records(std::span<const LifeRecord> records);

/// Failures among the records: failed, interval and repaired.
int failure_count(std::span<const LifeRecord> records);

/// Exposure watched: sum of exit - entry over lives, repaired records left out (their life's own
/// record has it); an interval counts to the middle of (lower, exit].
double exposure_sum(std::span<const LifeRecord> records);

}  // namespace shearpin::stats
