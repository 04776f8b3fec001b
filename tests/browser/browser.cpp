#include "browser.hpp"

#include <catch2/catch.hpp>
#include <cstdlib>
#include <iostream>
#include <regex>
#include <sstream>

#include "scenes.hpp"

namespace shearpin::test {
namespace {

bool has_program(const std::string& name) {
  return std::system(("command -v " + name + " >/dev/null 2>&1").c_str()) == 0;
}

std::string in_quotes(const std::string& word) { return "'" + word + "'"; }

// What a command put out; its standard error in a file of the sandbox. Must end well.
std::string output_of(const Sandbox& box, const std::string& command) {
  const auto out = box.path("said.txt");
  const auto err = box.path("complained.txt");
  const std::string whole =
      "timeout 120 " + command + " >" + in_quotes(out.string()) + " 2>" + in_quotes(err.string());
  const int status = std::system(whole.c_str());
  INFO(whole << '\n' << read_file(err));
  REQUIRE(status == 0);
  return read_file(out);
}

// Everything it keeps stays in the sandbox. Its own sandbox is not to be had for root or in most
// containers, and what is opened here is only our own page.
std::string chromium(const Sandbox& box) {
  return "chromium --headless --no-sandbox --disable-gpu --disable-dev-shm-usage --hide-scrollbars "
         "--no-first-run --disable-background-networking --disable-component-update "
         "--enable-logging=stderr --user-data-dir=" +
         in_quotes(box.path("browser").string()) + " ";
}

std::string url_of(const std::filesystem::path& page) {
  return in_quotes("file://" + page.string());
}

// Lines like `[..:INFO:CONSOLE:1] "text", source: ...`.
std::vector<std::string> console_lines(const std::string& log) {
  std::vector<std::string> found;
  std::istringstream lines(log);
  for (std::string line; std::getline(lines, line);) {
    if (line.find("CONSOLE") != std::string::npos) {
      found.push_back(line);
    }
  }
  return found;
}

std::string escaped(const std::string& text) {
  std::string safe;
  for (const char c : text) {
    if (c == '&') {
      safe += "&amp;";
    } else if (c == '"') {
      safe += "&quot;";
    } else {
      safe += c;
    }
  }
  return safe;
}

// Takes back what the browser escapes in text when it writes a document out.
std::string unescaped(std::string text) {
  for (const auto& [written, meant] : std::vector<std::pair<std::string, std::string>>{
           {"&lt;", "<"}, {"&gt;", ">"}, {"&amp;", "&"}}) {
    for (auto at = text.find(written); at != std::string::npos; at = text.find(written, at + 1)) {
      text.replace(at, written.size(), meant);
    }
  }
  return text;
}

double number(const std::string& text) { return std::stod(text); }

}  // namespace

bool browser_there() {
  const bool there = has_program("chromium");
  if (!there) {
    std::cout << "SKIPPED: there is no chromium\n";
  }
  return there;
}

bool printing_there() {
  const bool there = has_program("pdftotext");
  if (!there) {
    std::cout << "SKIPPED: there is no pdftotext\n";
  }
  return there && browser_there();
}

std::vector<std::string> console_of_printing(const Sandbox& box, const std::filesystem::path& page,
                                             const std::filesystem::path& pdf) {
  output_of(box, chromium(box) + "--no-pdf-header-footer --print-to-pdf=" +
                     in_quotes(pdf.string()) + " " + url_of(page));
  return console_lines(read_file(box.path("complained.txt")));
}

nlohmann::json asked(const Sandbox& box, const std::string& html, int width,
                     const std::string& question) {
  // The question stands in a script, which `</script>` would end.
  std::string script = question;
  for (auto at = script.find("</"); at != std::string::npos; at = script.find("</", at + 3)) {
    script.replace(at, 2, "<\\/");
  }
  const std::string frame = "<iframe style=\"border:0;height:900px;width:" + std::to_string(width) +
                            "px\" srcdoc=\"" + escaped(html) + "\"></iframe>";
  const auto page = box.write(
      "asking.html",
      "<!DOCTYPE html><html><head><meta charset=\"utf-8\"></head><body>" + frame +
          "<script>window.onload = () => { const page = "
          "document.querySelector('iframe').contentDocument; const answer = document.createElement("
          "'pre'); answer.id = 'answer'; answer.textContent = JSON.stringify(" +
          script + "); document.body.append(answer); };</script></body></html>");
  const std::string dom = output_of(box, chromium(box) + "--dump-dom " + url_of(page));
  const std::string begin = "<pre id=\"answer\">";
  const auto from = dom.rfind(begin);
  INFO(question);
  REQUIRE(from != std::string::npos);
  const auto start = from + begin.size();
  return nlohmann::json::parse(unescaped(dom.substr(start, dom.find("</pre>", start) - start)));
}

std::vector<Page> pages_of(const Sandbox& box, const std::filesystem::path& pdf) {
  const std::string boxes = output_of(box, "pdftotext -bbox " + in_quotes(pdf.string()) + " -");
  const std::regex page_line("<page width=\"([0-9.]+)\" height=\"([0-9.]+)\">");
  const std::regex word_line(
      "<word xMin=\"([-0-9.]+)\" yMin=\"([-0-9.]+)\" xMax=\"([-0-9.]+)\" yMax=\"([-0-9.]+)\">(.*)"
      "</word>");
  std::vector<Page> pages;
  std::istringstream lines(boxes);
  for (std::string line; std::getline(lines, line);) {
    std::smatch found;
    if (std::regex_search(line, found, page_line)) {
      pages.push_back({number(found[1]), number(found[2]), {}});
    } else if (std::regex_search(line, found, word_line)) {
      REQUIRE_FALSE(pages.empty());
      pages.back().words.push_back({unescaped(found[5]), number(found[1]), number(found[3]),
                                    number(found[2]), number(found[4])});
    }
  }
  return pages;
}

std::string text_of(const Page& page) {
  std::string text;
  for (const Word& word : page.words) {
    text += (text.empty() ? "" : " ") + word.text;
  }
  return text;
}

std::string demo_report(const Sandbox& box, const std::string& more) {
  make_demo(box);
  return box.ok("report --format html --as-of " + kDemoDay + " " + kDemoTrip + more);
}

}  // namespace shearpin::test
