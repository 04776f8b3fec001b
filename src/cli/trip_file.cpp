#include "cli/trip_file.hpp"

#include <fmt/format.h>

#include <nlohmann/json.hpp>
#include <ostream>
#include <set>

#include "apply/trip_leg.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"
#include "cli/import_refusals.hpp"
#include "cli/output.hpp"
#include "interchange/import.hpp"
#include "report/text_table.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::cli {
namespace {

using Json = nlohmann::ordered_json;

constexpr int kSchema = 1;

void warn(const Context& context, const std::string& text) {
  context.err << report::wrap_text("warning: " + text);
}

/// An object in a JSON file and where it stands, for messages: `plan.json: legs[2]`.
class JsonPlace {
 public:
  JsonPlace(const Json& json, std::string where) : json_(json), where_(std::move(where)) {
    if (!json_.is_object()) {
      refuse("", "an object is wanted; example: {\"from\": \"2026-06-08\"}");
    }
  }

  [[noreturn]] void refuse(const std::string& key, const std::string& rule) const {
    const std::string found = json_.is_object() && json_.contains(key)
                                  ? ' ' + shearpin::quoted(json_.at(key).dump(
                                              -1, ' ', false, Json::error_handler_t::replace))
                                  : "";
    throw InputError(
        fmt::format("{}{}{}{}: {}", where_, key.empty() ? "" : ": ", key, found, rule));
  }

  /// The value, null and a missing one alike as nothing.
  const Json* find(const std::string& key) const {
    const auto found = json_.find(key);
    return found == json_.end() || found->is_null() ? nullptr : &*found;
  }
  std::string text(const std::string& key) const {
    const Json* value = find(key);
    if (value && !value->is_string()) {
      refuse(key, "words in quotes are wanted");
    }
    return value ? value->get<std::string>() : "";
  }
  Date date(const std::string& key, Date today) const {
    const std::string typed = text(key);
    if (typed.empty()) {
      refuse(key, "a date is needed; example: \"2026-06-08\"");
    }
    try {
      return parse_date(typed, today);
    } catch (const InputError& error) {  // told with its place
      refuse(key, error.what());
    }
  }
  bool flag(const std::string& key, bool otherwise) const {
    const Json* value = find(key);
    if (value && !value->is_boolean()) {
      refuse(key, "true or false is wanted");
    }
    return value ? value->get<bool>() : otherwise;
  }
  int days(const std::string& key) const {
    constexpr int kMost = 1'000'000;
    const Json* value = find(key);
    if (!value) {
      return 0;
    }
    if (!value->is_number_unsigned() || value->get<std::uint64_t>() > kMost) {
      refuse(key, "a whole number of days is wanted; example: 2");
    }
    return value->get<int>();
  }
  std::vector<std::string> words(const std::string& key) const {
    std::vector<std::string> result;
    for (const Json* word : items(key)) {
      if (!word->is_string()) {
        refuse(key, "a list of words in quotes is wanted");
      }
      result.push_back(word->get<std::string>());
    }
    return result;
  }
  /// The objects of a list, each with its place.
  std::vector<JsonPlace> objects(const std::string& key) const {
    std::vector<JsonPlace> result;
    for (const Json* item : items(key)) {
      result.emplace_back(*item, fmt::format("{}: {}[{}]", where_, key, result.size() + 1));
    }
    return result;
  }
  /// Keys of this object that nothing reads.
  void warn_of_others(const Context& context, const std::set<std::string>& known) const {
    for (const auto& item : json_.items()) {
      if (known.count(item.key()) == 0) {
        warn(context, fmt::format("{}: {} means nothing here and is left", where_,
                                  shearpin::quoted(item.key())));
      }
    }
  }

 private:
  std::vector<const Json*> items(const std::string& key) const {
    const Json* list = find(key);
    if (list && !list->is_array()) {
      refuse(key, "a list in square brackets is wanted");
    }
    std::vector<const Json*> result;
    if (list) {
      for (const Json& item : *list) {
        result.push_back(&item);
      }
    }
    return result;
  }

  const Json& json_;
  std::string where_;
};

domain::TripLegDraft read_leg(const JsonPlace& json, Session& session) {
  json.warn_of_others(session.context(),
                      {"leg", "from", "to", "route", "use", "conditions", "signal"});
  domain::TripLegDraft leg;
  leg.from = json.date("from", session.today());
  leg.to = json.date("to", session.today());
  leg.route = json.text("route");
  for (const auto& name : json.words("conditions")) {
    leg.conditions.push_back(lower_case(trimmed(name)));
  }
  leg.signal = json.flag("signal", true);
  const Json* use = json.find("use");
  if (use && !use->is_object()) {
    json.refuse("use", "meters with their amounts are wanted; example: {\"truck-km\": 620}");
  }
  if (use) {
    for (const auto& item : use->items()) {
      if (!item.value().is_number() && !item.value().is_string()) {
        json.refuse("use", "an amount is a number, or words with a unit; example: 620 or \"93 h\"");
      }
      const auto& meter = session.named<domain::Meter>(item.key());
      const std::string amount =
          item.value().is_string() ? item.value().get<std::string>() : item.value().dump();
      leg.use.emplace_back(meter.id, apply::stored_use(amount, meter));
    }
  }
  return leg;
}

domain::TripStopDraft read_stop(const JsonPlace& json, Session& session) {
  json.warn_of_others(session.context(), {"date", "place", "sells", "parcels", "extra_days"});
  return {json.date("date", session.today()), json.text("place"), json.words("sells"),
          json.flag("parcels", false), json.days("extra_days")};
}

constexpr int kDeepest = 20;

/// A trip has lists in lists to a depth of four. The library reads and frees what is nested with
/// one call inside another, and thousands of these would end the program.
void check_depth(const std::string& bytes, const std::string& path) {
  int depth = 0;
  bool quoted = false;
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    const char c = bytes[i];
    if (quoted) {
      i += c == '\\' ? 1 : 0;
      quoted = c != '"';
    } else if (c == '"') {
      quoted = true;
    } else if (c == '[' || c == '{') {
      ++depth;
    } else if (c == ']' || c == '}') {
      --depth;
    }
    if (depth > kDeepest) {
      refuse(
          "{}: byte {}: lists and objects nested more than {} deep; a trip has legs and stops; "
          "example: shearpin trip show KEY --format json",
          path, i + 1, kDeepest);
    }
  }
}

domain::TripLine read_json(const std::string& bytes, const std::string& path, Session& session) {
  check_depth(bytes, path);
  Json json;
  try {
    json = Json::parse(bytes);
  } catch (const Json::exception& error) {  // the library's words name the byte
    refuse("{} is not JSON: {}; example: shearpin trip show KEY --format json", path, error.what());
  }
  const JsonPlace top(json, path);
  if (const Json* schema = top.find("schema"); schema && *schema != kSchema) {
    top.refuse("schema", "this program reads schema 1");
  }
  // What `trip show` derives from legs and stops is known, but not read.
  top.warn_of_others(session.context(),
                     {"schema", "key", "name", "legs", "stops", "departure", "end", "days", "lacks",
                      "use", "conditions", "last_signal_day"});
  if (!top.find("legs")) {
    top.refuse("legs",
               "a list of legs is needed; example: [{\"from\": \"2026-06-08\", \"to\": "
               "\"2026-06-10\"}]");
  }
  domain::TripLine trip;
  trip.name = top.text("name");
  for (const JsonPlace& leg : top.objects("legs")) {
    trip.legs.push_back(read_leg(leg, session));
  }
  for (const JsonPlace& stop : top.objects("stops")) {
    trip.stops.push_back(read_stop(stop, session));
  }
  return trip;
}

/// The key of the one trip to take from a CSV file.
std::string wanted_trip(const std::vector<interchange::ImportRow>& rows, const std::string& path,
                        const std::string& key) {
  std::set<std::string> keys;
  for (const auto& row : rows) {
    keys.insert(lower_case(row.text("trip")));
  }
  if (keys.size() == 1) {
    return *keys.begin();
  }
  if (keys.count(key) == 0) {
    throw InputError(
        keys.empty()
            ? fmt::format("{} holds no trip; a line is a leg: trip,leg,from,to", path)
            : fmt::format("{} holds {} trips and none is called {}: {}; give the key of one, or "
                          "take all: shearpin import {}",
                          path, keys.size(), key, join({keys.begin(), keys.end()}, ", "), path));
  }
  return key;
}

domain::TripLine read_csv(const std::string& bytes, const std::string& path, const std::string& key,
                          Session& session) {
  const auto file =
      interchange::read_import(bytes, path, interchange::Kind::trips, session.today());
  for (const auto& warning : file.warnings) {
    warn(session.context(), path + ": " + warning);
  }
  if (!file.refusals.empty()) {
    throw InputError(refusal_text(file.refusals));
  }
  const std::string wanted = wanted_trip(file.rows, path, key);
  domain::TripLine trip;
  for (const auto& row : file.rows) {
    if (lower_case(row.text("trip")) != wanted) {
      continue;
    }
    try {
      apply::add_leg(trip, row, session);
    } catch (const InputError& error) {  // told with its line
      refuse("{} line {}: {}", path, row.line, error.what());
    }
  }
  return trip;
}

}  // namespace

domain::TripLine read_trip_file(const std::string& path, const std::string& key, Session& session) {
  const auto bytes = read_file(path);
  if (!bytes) {
    refuse("{} cannot be read; example: --file june.json", path);
  }
  const auto text = trimmed(*bytes);
  return !text.empty() && text.front() == '{' ? read_json(*bytes, path, session)
                                              : read_csv(*bytes, path, key, session);
}

}  // namespace shearpin::cli
