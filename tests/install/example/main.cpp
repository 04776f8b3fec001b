/// What another program needs to ask a ledger for advice: open it, take a snapshot, ask.
///   what_to_order LEDGER DATE

#include <cstdlib>
#include <iostream>

#include "shearpin/advice/advise.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/ledger/ledger.hpp"

int main(int argc, char** argv) {
  if (argc != 3) {
    std::cerr << "what_to_order LEDGER DATE, such as: what_to_order ledger.db 2026-05-25\n";
    return EXIT_FAILURE;
  }
  try {
    const auto ledger =
        shearpin::ledger::Ledger::open(argv[1], shearpin::ledger::Ledger::Mode::read);
    const auto day = shearpin::parse_date(argv[2], shearpin::Date{});
    const auto answer = shearpin::advice::advise_reorder(ledger.snapshot(day), std::nullopt);
    for (const auto& line : answer.lines) {
      if (line.wanted()) {
        std::cout << line.part << ' ' << line.order_pieces << '\n';
      }
    }
  } catch (const shearpin::Error& error) {
    std::cerr << error.what() << '\n';
    return EXIT_FAILURE;
  }
  return EXIT_SUCCESS;
}
