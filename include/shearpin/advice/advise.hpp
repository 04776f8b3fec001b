#pragma once
/// The questions a person asks, each one call. All are pure: the same snapshot and window give the
/// same answer to the last bit, on any number of threads.

#include <functional>
#include <optional>
#include <span>

#include "shearpin/advice/answers.hpp"
#include "shearpin/advice/inquiry.hpp"
#include "shearpin/domain/snapshot.hpp"

namespace shearpin::advice {

/// How a trip is played through: by the kit under limits where there is one, else as advised.
struct SimulateOptions {
  long runs = 10'000;
  std::uint64_t seed = 1;
  bool random_leads = true;  ///< false: every parcel takes its planning lead time
  std::function<void(long, long)> progress;
};

/// What is asked of `carry` besides the levels.
struct CarryOptions {
  KitLimits limits;
  std::optional<SimulateOptions> simulate;  ///< of a trip; InputError for a stretch of days
};

/// Spares to carry for a stretch without resupply, or for a trip. `only`: these parts, else every
/// part that some position calls for, that is used up, or that is in stock. InputError: a window
/// below 0 or above 3,650 days.
CarryAnswer advise_carry(const domain::Snapshot& snapshot, const Window& window,
                         std::span<const PartId> only = {}, const CarryOptions& options = {});

/// What would stop us: positions by their chance to fail and what it would cost, and what covers
/// them.
WeakAnswer advise_weak(const domain::Snapshot& snapshot, const Window& window);

/// What to order with the post in reach; with a window also what the stretch will want.
ReorderAnswer advise_reorder(const domain::Snapshot& snapshot, const std::optional<Window>& window,
                             std::span<const PartId> only = {});

/// What is dead, due, low and on its way. Looks `ahead_days` ahead for tests and dates.
NowAnswer advise_now(const domain::Snapshot& snapshot, int ahead_days = 14);

/// Rate of one part; of a class: the records of all its parts taken as those of one.
RateAnswer advise_rate(const domain::Snapshot& snapshot, PartId part);
RateAnswer advise_rate(const domain::Snapshot& snapshot, ClassId component_class);

/// Which of two parts lasts longer. InputError where their ages are not counted in one unit.
CompareAnswer advise_compare(const domain::Snapshot& snapshot, PartId first, PartId second);

/// Whether the failures at a position look like a fault rather than bad luck: nothing when not.
std::optional<FaultSign> advise_fault(const domain::Snapshot& snapshot, PositionId position);

ExplainAnswer advise_explain(const domain::Snapshot& snapshot, PartId part,
                             const std::optional<Window>& window);

/// The pre-trip stock report for a stretch or a trip.
StockReport advise_report(const domain::Snapshot& snapshot, const Window& window,
                          const CarryOptions& options = {});

}  // namespace shearpin::advice
