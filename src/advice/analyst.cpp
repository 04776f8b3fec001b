#include "advice/analyst.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

namespace shearpin::advice {
namespace {

// Chance of having come past which an order counts as not coming, and the surest day planned with.
constexpr double kGivenUp = 0.995;
constexpr double kLatestPlanned = 0.9999;

stats::LifeRecord for_likelihood(const domain::AgeRecord& record) {
  using Kind = domain::AgeRecord::Kind;
  switch (record.kind) {
    case Kind::failed:
      return {stats::LifeKind::failed, record.entry, 0, record.exit};
    case Kind::alive:
      return {stats::LifeKind::alive, record.entry, 0, record.exit};
    case Kind::interval:
      return {stats::LifeKind::interval, record.entry, record.lower, record.exit};
    case Kind::repaired:
      return {stats::LifeKind::repaired, record.entry, 0, record.exit};
  }
  throw std::logic_error("a life record of no kind");
}

stats::WeibullPrior prior_of(const domain::ComponentClass* its_class,
                             const domain::Policy& policy) {
  if (its_class == nullptr) {
    return {policy.vague_life.median, policy.vague_life.low, policy.vague_life.high,
            policy.vague_shape, policy.shape_log_sd};
  }
  return {its_class->life_median, its_class->life_low, its_class->life_high, its_class->shape,
          policy.shape_log_sd};
}

void set_posterior(LifeBelief& belief, const stats::PosteriorOptions& how) {
  belief.posterior = stats::weibull_posterior(belief.prior, belief.lives, how);
}

template <class Map, class Key>
void earliest(Map& map, const Key& key, Date day) {
  const auto [at, added] = map.emplace(key, day);
  if (!added && day < at->second) {
    at->second = day;
  }
}

void add_to_bin(StockView& view, const domain::Bin& bin, std::int64_t pieces) {
  for (auto& held : view.bins) {
    if (held.bin == bin.key) {
      held.pieces += pieces;
      return;
    }
  }
  view.bins.push_back({bin.key, pieces, !bin.ashore});
}

}  // namespace

Analyst::Analyst(const domain::Snapshot& snapshot)
    : snapshot_(snapshot), exposure_(snapshot), lives_(snapshot, exposure_) {
  for (const auto& position : catalogue().positions) {
    if (position.part && !position.retired && !catalogue().at(position.rig).retired) {
      positions_[*position.part].push_back(&position);
    }
  }
  for (const auto& line : snapshot.stock) {
    stock_[line.part].push_back(&line);
    earliest(first_record_, line.part, line.received);
  }
  for (const auto& life : snapshot.lives) {
    if (life.part) {
      earliest(first_record_, *life.part, life.fitted);
    }
  }
  for (const auto& order : snapshot.orders) {
    earliest(first_record_, order.part, order.ordered);
    if (!order.cancelled && !order.completed) {
      open_orders_[order.part].push_back(&order);
    }
  }
  for (const auto& usage : snapshot.usages) {
    earliest(first_record_, usage.part, usage.date);
  }
  if (policy().borrow > 0.5) {
    list_lenders();
  }
}

/// A part that was never fitted lends nothing, so a class without two parts of which one was is
/// left alone.
void Analyst::list_lenders() {
  std::set<PartId> fitted;
  for (const auto& life : snapshot_.lives) {
    if (life.part && !life.stand_in) {
      fitted.insert(*life.part);
    }
  }
  std::map<ClassId, std::vector<PartId>> classes;
  std::set<ClassId> lending;
  for (const auto& part : catalogue().parts) {
    if (part.component_class) {
      classes[*part.component_class].push_back(part.id);
      if (fitted.contains(part.id)) {
        lending.insert(*part.component_class);
      }
    }
  }
  for (const ClassId id : lending) {
    if (classes.at(id).size() > 1) {
      auto loans = std::make_unique<Loans>();
      loans->parts = classes.at(id);
      loans_.emplace(id, std::move(loans));
    }
  }
}

domain::Severity Analyst::severity_of(const domain::Position& position) const {
  const domain::Severity own = catalogue().severity_of(position);
  const bool eased = own != domain::Severity::safety && domain::Catalogue::has_workaround(position);
  return eased ? domain::one_down(own) : own;
}

std::vector<Caller> Analyst::callers_of(PartId part) const {
  std::vector<Caller> callers;
  const auto found = positions_.find(part);
  if (found == positions_.end()) {
    return callers;
  }
  for (const auto* position : found->second) {
    const auto severity = severity_of(*position);
    const double cost =
        position->cost_of_day ? position->cost_of_day->major() : policy().cost_of_day(severity);
    callers.push_back({position, severity, cost, lives_.now(position->id)});
  }
  // The severest first by what a day without costs: they are served first.
  std::stable_sort(callers.begin(), callers.end(),
                   [](const Caller& a, const Caller& b) { return a.cost_of_day > b.cost_of_day; });
  return callers;
}

Date Analyst::first_record_of(PartId part) const {
  const auto found = first_record_.find(part);
  return found == first_record_.end() ? snapshot_.as_of : std::min(found->second, snapshot_.as_of);
}

LifeBelief Analyst::belief_from(const domain::ComponentClass* component_class,
                                std::vector<domain::AgeRecord> records) const {
  LifeBelief belief;
  if (component_class != nullptr) {
    belief.class_key = component_class->key;
    belief.basis = component_class->basis;
  }
  belief.class_prior = belief.prior = prior_of(component_class, policy());
  belief.records = std::move(records);
  belief.lives.reserve(belief.records.size());
  for (const auto& record : belief.records) {
    belief.lives.push_back(for_likelihood(record));
  }
  return belief;
}

void Analyst::borrow(PartId part, LifeBelief& belief) const {
  const auto found = loans_.find(catalogue().at(part).component_class.value_or(ClassId{}));
  if (found == loans_.end()) {
    return;
  }
  Loans& loans = *found->second;
  // Not std::call_once: an exception out of it ends the program where libgcc is linked statically.
  if (const std::lock_guard lock(loans.lock); loans.priors.empty()) {
    std::vector<std::vector<stats::LifeRecord>> lives(loans.parts.size());
    std::vector<std::span<const stats::LifeRecord>> views;
    for (std::size_t i = 0; i < loans.parts.size(); ++i) {
      for (const auto& record : lives_.of_part(loans.parts[i])) {
        lives[i].push_back(for_likelihood(record));
      }
      views.emplace_back(lives[i]);
    }
    loans.priors = stats::borrowed_priors(belief.class_prior, views);
  }
  const auto own = std::find(loans.parts.begin(), loans.parts.end(), part);
  const auto& lent = loans.priors[static_cast<std::size_t>(own - loans.parts.begin())];
  belief.prior = lent.prior;
  belief.shared_share = lent.shared_share;
  for (const auto& lender : lent.lenders) {
    belief.lenders.push_back({catalogue().at(loans.parts[lender.part]).key, lender.failures,
                              lender.exposure, lender.shift});
  }
}

LifeBelief Analyst::life_belief(PartId part, const stats::PosteriorOptions& how) const {
  return life_belief_from(part, lives_.of_part(part), how);
}

LifeBelief Analyst::life_belief_from(PartId part, std::vector<domain::AgeRecord> records,
                                     const stats::PosteriorOptions& how) const {
  auto belief = belief_from(catalogue().class_of(catalogue().at(part)), std::move(records));
  borrow(part, belief);
  set_posterior(belief, how);
  return belief;
}

LifeBelief Analyst::life_belief_of_class(ClassId component_class) const {
  std::vector<domain::AgeRecord> records = lives_.of_class_without_part(component_class);
  for (const auto& part : catalogue().parts) {
    if (part.component_class == component_class) {
      const auto own = lives_.of_part(part.id);
      records.insert(records.end(), own.begin(), own.end());
    }
  }
  auto belief = belief_from(&catalogue().at(component_class), std::move(records));
  set_posterior(belief, {});
  return belief;
}

LifeBelief Analyst::life_belief_of_position(const domain::Position& position) const {
  const auto* its_class = catalogue().class_of(position);
  auto belief =
      belief_from(its_class, its_class == nullptr ? std::vector<domain::AgeRecord>{}
                                                  : lives_.of_class_without_part(its_class->id));
  set_posterior(belief, {});
  return belief;
}

LeadBelief Analyst::shared_lead(std::optional<SupplierId> supplier,
                                domain::Resupply resupply) const {
  const std::pair key(supplier, resupply);
  {
    const std::lock_guard lock(leads_lock_);
    if (const auto known = leads_.find(key); known != leads_.end()) {
      return known->second;
    }
  }
  LeadBelief lead;
  lead.resupply = resupply;
  const auto& range = policy().lead(resupply);
  lead.prior = {range.median,
                range.low,
                range.high,
                policy().lead_spread_within,
                policy().lead_spread_between,
                policy().lead_least_days};
  if (supplier) {
    lead.supplier_key = catalogue().at(*supplier).key;
    for (const auto& order : snapshot_.orders) {
      const bool alike = order.supplier == *supplier && !order.cancelled &&
                         catalogue().resupply_of(catalogue().at(order.part)) == resupply;
      if (!alike) {
        continue;
      }
      if (order.completed) {
        lead.completed.push_back(std::max(0, days_between(order.ordered, *order.completed)));
      } else {
        lead.open.push_back(std::max(0, days_between(order.ordered, snapshot_.as_of)));
      }
    }
  }
  lead.posterior = stats::lead_time_posterior(lead.prior, lead.completed, lead.open);
  lead.mean_days = stats::lead_time_mean(lead.posterior);
  // Not the posterior that has heard of the open orders: a lost parcel would excuse itself.
  lead.given_up_days = stats::lead_time_quantile(
      stats::lead_time_posterior(lead.prior, lead.completed, {}), kGivenUp);
  const std::lock_guard lock(leads_lock_);
  return leads_.emplace(key, std::move(lead)).first->second;
}

LeadBelief Analyst::lead_belief(PartId part_id, domain::Severity severity) const {
  const auto& part = catalogue().at(part_id);
  LeadBelief lead = shared_lead(part.supplier, catalogue().resupply_of(part));
  const bool critical =
      severity == domain::Severity::safety || severity == domain::Severity::stranded;
  lead.planning_quantile = critical ? policy().lead_quantile_critical : policy().lead_quantile;
  lead.planning_days = stats::lead_time_quantile(lead.posterior, lead.planning_quantile);
  return lead;
}

std::vector<Coming> Analyst::coming(PartId part, domain::Severity severity) const {
  std::vector<Coming> list;
  const auto found = open_orders_.find(part);
  if (found == open_orders_.end()) {
    return list;
  }
  const auto lead = lead_belief(part, severity);
  const auto days = [](double amount) {
    return std::chrono::days(static_cast<int>(std::ceil(amount)));
  };
  for (const auto* order : found->second) {
    if (is_given_up(*order)) {
      continue;
    }
    Date planned = order->promised.value_or(order->ordered + days(lead.planning_days));
    if (planned < snapshot_.as_of) {
      const double waited = days_between(order->ordered, snapshot_.as_of);
      const double still_out = 1 - stats::lead_time_cdf(lead.posterior, waited);
      const double by_then = std::min(1 - (1 - lead.planning_quantile) * still_out, kLatestPlanned);
      planned = std::max(snapshot_.as_of,
                         order->ordered + days(stats::lead_time_quantile(lead.posterior, by_then)));
    }
    list.push_back({order->quantity - order->received, planned, order->to});
  }
  return list;
}

bool Analyst::is_given_up(const domain::Order& order) const {
  const auto lead =
      shared_lead(order.supplier, catalogue().resupply_of(catalogue().at(order.part)));
  return days_between(order.ordered, snapshot_.as_of) > lead.given_up_days &&
         order.promised.value_or(order.ordered) < snapshot_.as_of;
}

StockView Analyst::stock_of(PartId part, Date until) const {
  StockView view;
  if (const auto found = stock_.find(part); found != stock_.end()) {
    for (const auto* line : found->second) {
      if (line->ends && *line->ends >= snapshot_.as_of &&
          (!view.first_end || *line->ends < *view.first_end)) {
        view.first_end = line->ends;
      }
      if (line->quarantined) {
        view.quarantined += line->quantity;
      } else if (line->ends && *line->ends <= snapshot_.as_of) {
        view.expired += line->quantity;
      } else if (line->ends && *line->ends <= until) {
        view.expiring += line->quantity;
      } else if (catalogue().at(line->bin).ashore) {
        view.ashore += line->quantity;
        add_to_bin(view, catalogue().at(line->bin), line->quantity);
      } else if (line->state == domain::LotState::worn) {
        view.worn += line->quantity;
      } else {
        view.aboard += line->quantity;
        add_to_bin(view, catalogue().at(line->bin), line->quantity);
      }
    }
    std::sort(view.bins.begin(), view.bins.end(), [](const BinPieces& a, const BinPieces& b) {
      return std::tie(b.aboard, a.bin) < std::tie(a.aboard, b.bin);
    });
  }
  if (const auto found = open_orders_.find(part); found != open_orders_.end()) {
    for (const auto* order : found->second) {
      (is_given_up(*order) ? view.given_up : view.on_order) += order->quantity - order->received;
    }
  }
  return view;
}

}  // namespace shearpin::advice
