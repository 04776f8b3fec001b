#pragma once
/// How much use a position has seen: exposure in its own basis, as run and as it counts where dust,
/// frost and the like wear a sensitive part faster.
///
/// Plain exposure. Days basis: days of the calendar. Any other basis: the first of these that there
/// is: the position's meter (readings, linear between them; before the first and after the last the
/// mean rate over the first or last 365 days that have readings; without readings its usual rate),
/// the position's usual rate (a day, or a unit of another meter such as a night), the class's usual
/// rate a day. The last is a belief and is marked. A meter of another kind than the basis (hours
/// for a distance) is passed over. A meter that was replaced goes on from its new first reading;
/// what was run between the old one's last and the new one's first reading is taken at the mean
/// rate and marked as outside the readings.
///
/// Effective exposure: every day's plain exposure times the product of the factors of the
/// conditions that hold on that day on the position's rig and to which the class is sensitive, the
/// product capped by the policy's condition-cap (cumulative exposure, Nelson 1990, Accelerated
/// Testing, section 10.2). A condition holds on its first and its last day and all days between.
///
/// A span from d0 to d1 is d1 - d0 days: the days d0 .. d1 - 1. The work per answer is a few binary
/// searches, however long the history.

#include <limits>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "shearpin/domain/snapshot.hpp"

namespace shearpin::domain {

/// Exposure over a span, in the basis of the class it was asked for (days, km, h, cycles, nights).
struct Exposure {
  double effective = 0;           ///< with condition factors
  double plain = 0;               ///< as run
  bool class_rate = false;        ///< the class's usual rate stood in for a meter
  bool outside_readings = false;  ///< part of the span lies outside the meter's readings
  bool assumed() const { return class_rate || outside_readings; }
};

/// Stands for "all the stretch" in PlannedStretch::conditions.
inline constexpr double kWholeStretch = std::numeric_limits<double>::infinity();

/// A stretch that lies ahead.
struct PlannedStretch {
  Date start;
  double days = 0;                ///< zero or more
  std::map<MeterId, double> use;  ///< whole stretch, in the meter's stored unit (km, h, ...)
  /// Name and days from the start, kWholeStretch for all of it. Nothing else holds: a condition
  /// still open in the ledger does not count unless it is named here.
  std::vector<std::pair<std::string, double>> conditions;
};

/// What a stretch asks of one unit.
struct StretchExposure {
  double effective = 0, plain = 0;  ///< over the whole stretch
  double per_day = 0;               ///< effective / days; 0 for a stretch of no days
  bool amount_given = false;        ///< from PlannedStretch::use, else from a rate
  bool assumed = false;             ///< the class's usual rate stood in
};

/// Reads exposure from a snapshot. Built once; const and safe to use from several threads.
class ExposureReader {
 public:
  /// Keeps a reference: the snapshot must outlive it.
  explicit ExposureReader(const Snapshot& snapshot);
  ExposureReader(ExposureReader&&) noexcept;
  ~ExposureReader();

  /// Of one unit at `position`, in the basis and with the sensitivity of the position's class; days
  /// and no sensitivity where it has none. `to` before `from` is std::logic_error.
  Exposure between(const Position& position, Date from, Date to) const;
  /// The same for a unit of another class fitted there (a substitute); null: as above without
  /// class.
  Exposure between(const Position& position, const ComponentClass* kind, Date from, Date to) const;
  /// Of what is used up and has no position of its own (tape, connectors): the calendar; for
  /// distance and nights the busiest meter of that kind over the span (a trailer goes nowhere
  /// without its truck); for hours and cycles the meter if there is only one; else the class's
  /// usual rate. A condition counts that holds on any rig.
  Exposure between(const ComponentClass& kind, Date from, Date to) const;

  /// Of one unit at `position` in a stretch ahead. Amounts given for its meter are spread evenly;
  /// without one the rate after the last reading holds (see above). A stretch of no days has the
  /// amount given, or nothing.
  StretchExposure stretch(const Position& position, const PlannedStretch& ahead) const;
  StretchExposure stretch(const Position& position, const ComponentClass* kind,
                          const PlannedStretch& ahead) const;
  StretchExposure stretch(const ComponentClass& kind, const PlannedStretch& ahead) const;

  /// The rate a day a meter is taken to run at after its last reading; none where it has neither
  /// two readings on different days nor a usual rate.
  std::optional<double> rate_of(MeterId meter) const;

  /// Readings that no rig can have run up in the days since the one before (most_a_day): they count
  /// as no use, and the meter as read anew.
  const std::vector<const MeterReading*>& impossible() const;

 private:
  struct Impl;
  std::unique_ptr<const Impl> impl_;
};

/// The most that a meter of a unit can count in a day (beliefs for distances and cycles); none for
/// units that set no bound.
std::optional<double> most_a_day(std::string_view unit);

/// Whether a condition of that name holds on the rig (or on all rigs) on a day.
bool condition_holds(const Snapshot& snapshot, RigId rig, std::string_view condition, Date day);

}  // namespace shearpin::domain
