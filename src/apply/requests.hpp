#pragma once
/// From words to plans: one function for each command that tells what happened. The words are named
/// as the command's options (`shearpin fail --help`); a line of a history file gives the same ones.
///
/// All throw as the `plan_...` of domain, InputError for a value or a name that cannot be read, and
/// UsageError for a word that is needed and missing.

#include "apply/resolver.hpp"
#include "domain/plan_exposure.hpp"
#include "domain/plan_fail.hpp"
#include "domain/plan_fault.hpp"
#include "domain/plan_fit.hpp"
#include "domain/plan_orders.hpp"
#include "domain/plan_stock.hpp"

namespace shearpin::apply {

template <class Request>
struct Planned {
  Request request;
  domain::Snapshot before;  ///< what it was planned from
  domain::Plan plan;
};

/// What a position concerns: itself, its part and every part that may stand in, `named`; where it
/// calls for none, those of its class.
ledger::Scope scope_of(const domain::Catalogue& catalogue, PositionId id,
                       const std::optional<PartId>& named);

Planned<domain::FitRequest> fit(const Arguments& words, Resolver& who);
/// Besides the options: `pieces` that a repair used up.
Planned<domain::FailRequest> fail(const Arguments& words, Resolver& who);
/// Besides the options: `expired`, where the end of the life is what it was renewed for.
Planned<domain::RenewRequest> renew(const Arguments& words, Resolver& who);
Planned<domain::TestRequest> test(const Arguments& words, Resolver& who);
Planned<domain::LoseUnitRequest> lose_unit(const Arguments& words, Resolver& who);
Planned<domain::PiecesRequest> lose_pieces(const Arguments& words, Resolver& who);
Planned<domain::PiecesRequest> use(const Arguments& words, Resolver& who);
Planned<domain::PiecesRequest> scrap(const Arguments& words, Resolver& who);
/// An upstream cause, `fault`, at POSITION, `since` a day.
Planned<domain::FaultOpenRequest> open_fault(const Arguments& words, Resolver& who);
/// Where a part is named, POSITION is renewed `with` it.
Planned<domain::FaultCloseRequest> close_fault(const Arguments& words, Resolver& who);

Planned<domain::OrderRequest> order(const Arguments& words, Resolver& who);
/// Besides the options: `quarantined`.
Planned<domain::ReceiveRequest> receive(const Arguments& words, Resolver& who);
Planned<domain::MoveRequest> move(const Arguments& words, Resolver& who);
Planned<domain::CountRequest> count(const Arguments& words, Resolver& who);
/// A `batch`, perhaps of one PART, is doubtful, or with `lift` sound after all.
Planned<domain::QuarantineRequest> quarantine(const Arguments& words, Resolver& who);

Planned<domain::StayRequest> stay(const Arguments& words, Resolver& who);
Planned<domain::ConditionRequest> condition(const Arguments& words, Resolver& who);
Planned<domain::ReadingRequest> reading(const Arguments& words, Resolver& who);

}  // namespace shearpin::apply
