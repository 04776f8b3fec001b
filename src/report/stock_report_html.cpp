#include <fmt/format.h>

#include <vector>

#include "report/html.hpp"
#include "report/sheet.hpp"

namespace shearpin::report {
namespace {

/// Gathers the head and the sections, and a list of links to these.
class HtmlSheet : public Sheet {
 public:
  void section(std::string_view title) override {
    end_list();
    parts_.push_back({std::string(title), {}});
  }
  void paragraph(std::string_view text) override { add(element("p", {}, text)); }
  void caution(std::string_view text) override {
    add(element("p", {{"class", "caution"}, {"role", "note"}},
                element("strong", {}, "Caution: ") + words(text)));
  }
  void item(std::string_view text) override { items_ += element("li", {}, text) + words("\n"); }
  void table(std::string_view caption, const TextTable& table) override {
    add(html_table(table, caption));
  }
  void titled(std::string_view title, const TextTable& table) override {
    if (!table.empty()) {
      add(html_table(table, title));
    }
  }
  void figure(const Figure& figure) override;

  Markup body(std::string_view title);

 private:
  struct Part {
    std::string title;
    Markup content;
  };

  /// Content goes after the list that was being gathered.
  void add(const Markup& content) {
    end_list();
    parts_.back().content += content + words("\n");
  }
  void end_list() {
    if (!items_.empty()) {
      parts_.back().content += element("ul", {}, items_) + words("\n");
      items_ = {};
    }
  }

  std::vector<Part> parts_{Part{}};  ///< the first one is the head
  Markup items_;
};

void HtmlSheet::figure(const Figure& figure) {
  Markup content =
      element("figcaption", {}, element("strong", {}, figure.title) + words(figure.told)) +
      element("div", {{"class", "plot"}}, figure.picture);
  if (!figure.data.empty()) {
    content += element("details", {},
                       element("summary", {}, "The figures behind it") +
                           html_table(figure.data, figure.title + ": the figures"));
  }
  add(element("figure", {}, content));
}

Markup HtmlSheet::body(std::string_view title) {
  end_list();
  Markup links;
  Markup sections;
  for (std::size_t i = 1; i < parts_.size(); ++i) {
    const std::string id = fmt::format("section-{}", i);
    const std::string heading = id + "-heading";
    links += element("li", {}, element("a", {{"href", "#" + id}}, parts_[i].title));
    sections += element("section", {{"id", id}, {"aria-labelledby", heading}},
                        words("\n") + element("h2", {{"id", heading}}, parts_[i].title) +
                            words("\n") + parts_[i].content) +
                words("\n");
  }
  return words("\n") +
         element("header", {},
                 words("\n") + element("h1", {}, title) + words("\n") + parts_.front().content) +
         words("\n") + element("nav", {{"aria-label", "Sections"}}, element("ul", {}, links)) +
         words("\n") + element("main", {}, words("\n") + sections) + words("\n");
}

Markup head(const std::string& title, const std::string& style) {
  // Nothing is fetched and nothing is run, whatever a name might hold.
  const std::string policy = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'";
  return words("\n") + element("meta", {{"charset", "utf-8"}}) + words("\n") +
         element("meta", {{"http-equiv", "Content-Security-Policy"}, {"content", policy}}) +
         words("\n") +
         element("meta",
                 {{"name", "viewport"}, {"content", "width=device-width, initial-scale=1"}}) +
         words("\n") + element("title", {}, title) + words("\n") + style_element(style);
}

}  // namespace

std::string report_html(const advice::StockReport& report, Paper paper) {
  const std::string title = report.title.empty() ? "Pre-trip stock report" : report.title;
  HtmlSheet sheet;
  sheet.paragraph(fmt::format("As the ledger stands on {}.", to_text(report.as_of)));
  write_report(sheet, report);
  return html_document(head(title, html_style(paper, title, to_text(report.as_of))),
                       sheet.body(title));
}

}  // namespace shearpin::report
