#pragma once
// Debian's Chromium without a window, and what poppler reads from the pages it prints.

#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "sandbox.hpp"

namespace shearpin::test {

// True where the programs are there; else prints a line that makes the case count as skipped.
bool browser_there();
bool printing_there();

// Opens a file, prints it into `pdf`, and gives back what the page said on its console and what was
// refused to it, one a line.
std::vector<std::string> console_of_printing(const Sandbox& box, const std::filesystem::path& page,
                                             const std::filesystem::path& pdf);

// Shows `html` in a frame `width` pixels wide beside a script that may look into it, and gives back
// what the JavaScript expression `question` is there, with `page` the shown document. The page
// itself has no script: the frame inherits nothing but the place.
nlohmann::json asked(const Sandbox& box, const std::string& html, int width,
                     const std::string& question);

struct Word {
  std::string text;
  double left = 0, right = 0, top = 0, bottom = 0;  // points from the page's upper left corner
};
struct Page {
  double width = 0, height = 0;  // points
  std::vector<Word> words;
};
// The pages of a PDF as pdftotext sees them.
std::vector<Page> pages_of(const Sandbox& box, const std::filesystem::path& pdf);

// The words of a page with blanks between.
std::string text_of(const Page& page);

// The demo's ledger and its HTML report for the trip.
std::string demo_report(const Sandbox& box, const std::string& more = "");

}  // namespace shearpin::test
