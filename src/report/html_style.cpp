// How the page of the stock report looks.

#include <fmt/format.h>

#include <stdexcept>

#include "report/html.hpp"
#include "report/phrases.hpp"

namespace shearpin::report {
namespace {

constexpr std::string_view kScreen = R"(
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0; background: #fff; color: #111; font: 1rem/1.45 system-ui, sans-serif; }
main, header, nav { max-width: 56rem; margin: 0 auto; padding: 0 1.25rem; }
header { padding-top: 1.25rem; }
h1 { font-size: 1.6rem; line-height: 1.2; margin: 0 0 .5rem; }
h2 { font-size: 1.2rem; margin: 2.25rem 0 .5rem; padding-top: .4rem; border-top: 3px solid #111; }
p { margin: .4rem 0; max-width: 44rem; overflow-wrap: anywhere; }
h1, h2, li, figcaption, summary { overflow-wrap: anywhere; }
.caution { border: 2px solid #111; padding: .5rem .75rem; margin: .75rem 0; }
ul { margin: .5rem 0; padding-left: 1.2rem; max-width: 46rem; }
li { margin: .35rem 0; }
nav ul { list-style: none; padding: 0; margin: .75rem 0 0; max-width: none;
  columns: 20rem; column-gap: 2rem; font-size: .9rem; }
nav li { margin: 0; break-inside: avoid; }
nav a { display: block; padding: .3rem 0; }
a { color: #111; }
.scroll { overflow-x: auto; margin: .75rem 0 1.25rem; }
.scroll:focus-visible, a:focus-visible, summary:focus-visible { outline: 3px solid #111;
  outline-offset: 2px; }
table { border-collapse: collapse; width: 100%; font-size: .95rem; }
caption { text-align: left; font-weight: 700; padding: .25rem 0; overflow-wrap: anywhere; }
th, td { text-align: left; vertical-align: top; padding: .3rem .9rem .3rem 0; font-weight: 400;
  overflow-wrap: break-word; }
th:last-child, td:last-child { padding-right: 0; }
thead th { font-size: .82rem; vertical-align: bottom; border-bottom: 2px solid #111; color: #333; }
tbody { border-bottom: 1px solid #aaa; }
tbody th { font-weight: 600; min-width: 9rem; }
.num { text-align: right; }
td.num, td.word { white-space: nowrap; font-variant-numeric: tabular-nums; }
.below td { font-size: .88rem; color: #333; padding: 0 0 .4rem .8rem; }
.box { display: inline-block; width: 1.15em; height: 1.15em; border: 2px solid #111;
  vertical-align: -.2em; }
@media print, (min-width: 34rem) {
  table:has(.box) th:nth-child(1) { width: 3.2em; }
  table:has(.box) th:nth-child(2) { width: 4.2em; }
  table:has(.box) th:nth-child(4) { width: 16%; }
  table:has(.box) th:nth-child(5) { width: 24%; }
}
figure { margin: 1.25rem 0; }
figcaption { margin-bottom: .6rem; }
figcaption strong { display: block; }
.plot { max-width: 46rem; padding: .2rem .6rem; }
.picture { display: block; overflow: visible; }
.mark { overflow: visible; }
.picture text { font-size: 12px; fill: #111; stroke: #fff; stroke-width: 3px;
  paint-order: stroke; }
.picture .name { font-weight: 600; }
.picture .tick { fill: #333; font-size: 11px; }
.picture .grid { stroke: #bbb; stroke-width: 1; }
.picture .filled { fill: #777; }
.picture .outline { stroke: #111; stroke-width: 1; }
.picture .open { fill: #fff; }
.picture .stroke { stroke: #111; stroke-width: 1; fill: none; }
.picture .solid { fill: #111; }
.picture .hollow { fill: none; stroke: #111; stroke-width: 1.8; }
.picture .course { stroke: #111; stroke-width: 2; }
.picture .broken { stroke-dasharray: 4 3; }
details { margin: .5rem 0; }
summary { cursor: pointer; padding: .35rem 0; font-size: .9rem; text-decoration: underline; }
footer { max-width: 56rem; margin: 2rem auto; padding: 0 1.25rem; font-size: .85rem; color: #333; }
@media (max-width: 34rem) {
  main, header, nav, footer { padding-left: .8rem; padding-right: .8rem; }
  header { padding-top: .8rem; }
  h1 { font-size: 1.35rem; }
  table { font-size: .88rem; }
  th, td { padding-right: .45rem; }
  thead th { font-size: .75rem; }
  tbody th { min-width: 6rem; }
  .below td { padding-left: 0; }
}
)";

constexpr std::string_view kPrint = R"(
@media print {
  body { font-size: 10pt; line-height: 1.3; }
  main, header, footer { max-width: none; padding: 0; }
  nav, .scroll:focus { outline: none; }
  nav, details:not([open]) { display: none; }
  h1 { font-size: 15pt; }
  h2 { font-size: 12pt; margin-top: 14pt; border-top-width: 2px; }
  h2, caption, figcaption { break-after: avoid; }
  p, li { max-width: none; orphans: 3; widows: 3; }
  ul { max-width: none; }
  .scroll { overflow: visible; margin: 4pt 0 9pt; }
  table { font-size: 9.5pt; }
  th, td { padding-top: 2pt; padding-bottom: 2pt; overflow-wrap: anywhere; }
  thead th { overflow-wrap: normal; }
  .below td { font-size: 8.5pt; padding-top: 0; padding-bottom: 2pt; }
  h2 + p { break-after: avoid; }
  thead { display: table-header-group; }
  tbody, tr, li, figure, .caution { break-inside: avoid; }
  .box { width: 4mm; height: 4mm; border-width: 1.2pt; }
  .plot { max-width: none; }
}
)";

std::string_view page_size(Paper paper) {
  switch (paper) {
    case Paper::a4:
      return "A4";
    case Paper::letter:
      return "letter";
  }
  throw std::logic_error("a paper outside its list");
}

/// Columns of a title that fit beside the page number.
constexpr std::size_t kTitleColumns = 60;

std::string page_rules(Paper paper, std::string_view title, std::string_view as_of) {
  constexpr std::string_view kFont = "font: 8.5pt system-ui, sans-serif;";
  return fmt::format(
      "@page {{ size: {} portrait; margin: 17mm 14mm 14mm;\n"
      "  @top-left {{ {} content: \"{}\"; white-space: nowrap; }}\n"
      "  @top-right {{ {} content: \"as of {}, page \" counter(page) \" of \" counter(pages);\n"
      "    white-space: nowrap; }} }}\n",
      page_size(paper), kFont, css_escape(cut_to(title, kTitleColumns)), kFont, css_escape(as_of));
}

}  // namespace

std::string html_style(Paper paper, std::string_view title, std::string_view as_of) {
  return page_rules(paper, title, as_of) + std::string(kScreen) + std::string(kPrint);
}

}  // namespace shearpin::report
