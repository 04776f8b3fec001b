#pragma once
/// Lays blocks of text out in pages of a fixed number of lines.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "report/sheet.hpp"

namespace shearpin::report {

class Pager : public Sheet {
 public:
  /// `title` and `as_of` go into the header of every page.
  Pager(Paper paper, std::string title, std::string as_of);

  /// A heading is never the last thing on a page.
  void section(std::string_view title) override;
  /// Wrapped lines that stay together.
  void paragraph(std::string_view text) override;
  void caution(std::string_view text) override;
  void item(std::string_view text) override;
  /// Rows stay whole; the head comes again on each page the table goes on to.
  void table(std::string_view caption, const TextTable& table) override;
  void titled(std::string_view title, const TextTable& table) override;
  /// In brief, for there are no pictures.
  void figure(const Figure& figure) override { titled(figure.title, figure.brief); }

  /// Lines as they are, wrapped already; they stay together.
  void lines(const std::string& text);

  /// Every page, form feeds between.
  std::string to_text() const;

 private:
  struct Block {
    std::vector<std::string> lines;
    std::vector<std::string> head;  ///< comes again before a row that begins a page
    bool keep_with_next = false;
    bool gap_before = false;
    bool of_table = false;
  };
  using Page = std::vector<std::string>;

  std::size_t room_needed(std::size_t block) const;
  std::vector<Page> laid_out() const;
  std::string header(std::size_t page, std::size_t pages) const;

  std::size_t room_;  ///< lines on a page below its header
  std::string title_, as_of_;
  std::vector<Block> blocks_;
};

}  // namespace shearpin::report
