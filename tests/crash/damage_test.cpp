// Ledgers that were cut off or scratched on the way: every answer is a result or a LedgerError that
// says so, never a crash, a hang or another kind of failure. Here in one process, so that thousands
// of them can be tried; SHEARPIN_LONG=1 in the environment tries every length.

#include <catch2/catch.hpp>
#include <cstdlib>
#include <random>
#include <set>

#include "scenes.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/ledger/ledger.hpp"

using namespace shearpin::test;
using shearpin::ledger::Ledger;

namespace {

// Everything a reader does. True when it came to an end without a complaint.
bool reads(const std::filesystem::path& file, std::string& complaint) {
  try {
    const auto ledger = Ledger::open(file, Ledger::Mode::read);
    const auto day = shearpin::parse_date("2026-11-01", {});
    const auto snapshot = ledger.snapshot(day);
    const auto journal = ledger.journal({});
    const auto report = ledger.verify();
    complaint = report.findings.empty() ? "" : report.findings.front().detail;
    return report.findings.empty() && !journal.empty() && !snapshot.catalogue->parts.empty();
  } catch (const shearpin::LedgerError& error) {
    complaint = error.what();
    return false;
  }
}

struct Original {
  Sandbox box;
  std::string bytes;
  Original() {
    make_camper(box);
    bytes = read_file(box.ledger());
  }
};

std::set<std::size_t> lengths_to_try(std::size_t whole) {
  std::set<std::size_t> lengths;
  if (std::getenv("SHEARPIN_LONG") != nullptr) {
    for (std::size_t length = 0; length < whole; ++length) {
      lengths.insert(length);
    }
    return lengths;
  }
  for (std::size_t edge = 0; edge <= whole; edge += 4096) {
    for (const std::size_t past : {std::size_t{0}, std::size_t{1}, std::size_t{4095}}) {
      lengths.insert(edge + past);
    }
  }
  std::mt19937_64 random(20260525);
  for (int i = 0; i < 200; ++i) {
    lengths.insert(random() % whole);
  }
  lengths.erase(lengths.lower_bound(whole), lengths.end());
  return lengths;
}

}  // namespace

TEST_CASE("A ledger cut off at any length is refused with a reason") {
  const Original original;
  for (const std::size_t length : lengths_to_try(original.bytes.size())) {
    const auto cut = original.box.write("cut.db", original.bytes.substr(0, length));
    std::string complaint;
    INFO("length " << length << " of " << original.bytes.size());
    CHECK_FALSE(reads(cut, complaint));
    CHECK_FALSE(complaint.empty());
  }
}

TEST_CASE("A scratched byte anywhere gives a result or a reason, never a crash") {
  const Original original;
  std::mt19937_64 random(20260525);
  int noticed = 0;
  const int tries = std::getenv("SHEARPIN_LONG") != nullptr ? 20000 : 500;
  for (int i = 0; i < tries; ++i) {
    std::string bytes = original.bytes;
    // Half of them in the first page, where the file says what it is, and the schema's.
    const std::size_t range = i % 2 == 0 ? std::size_t{8192} : bytes.size();
    const std::size_t at = random() % range;
    bytes[at] = static_cast<char>(bytes[at] ^ static_cast<char>(1U << (random() % 8)));
    const auto scratched = original.box.write("scratched.db", bytes);
    std::string complaint;
    INFO("try " << i << ", byte " << at);
    const bool sound = reads(scratched, complaint);
    CHECK((sound || !complaint.empty()));
    noticed += sound ? 0 : 1;
  }
  // Most bytes carry something; a scratch in free room or in a text is none that can be seen.
  CHECK(noticed > tries / 10);
}
