#include "eaveshed/page/page_frame.hpp"

#include <fmt/format.h>

#include <cstdint>
#include <span>
#include <vector>

#include "eaveshed/drawing/picture.hpp"
#include "eaveshed/files/fingerprint.hpp"
#include "eaveshed/page/report_folder.hpp"

namespace eaveshed {

namespace {

constexpr std::string_view kStyle = R"css(
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1.2rem; max-width: 72rem; background: #ffffff; color: #1a1a1a;
  font: 1rem/1.5 system-ui, -apple-system, "Segoe UI", Roboto, "Liberation Sans", Arial, sans-serif; }
h1 { font-size: 1.9rem; line-height: 1.2; margin: 0.3rem 0 0; }
h2 { font-size: 1.3rem; line-height: 1.3; margin: 0 0 0.5rem; }
h3 { font-size: 1.05rem; margin: 1rem 0 0.3rem; }
p { margin: 0.4rem 0 0.7rem; max-width: 46rem; }
a { color: #004f83; }
a:focus-visible, button:focus-visible, input:focus-visible, select:focus-visible, .scroll:focus-visible {
  outline: 3px solid #004f83; outline-offset: 2px; }
.skip { position: absolute; left: -100rem; }
.skip:focus { left: 1rem; top: 0.5rem; background: #ffffff; padding: 0.3rem 0.6rem; }
nav ul { display: flex; flex-wrap: wrap; gap: 0.2rem 1.1rem; margin: 0.8rem 0; padding: 0; list-style: none; }
.part { margin: 1.6rem 0 0; padding: 1rem 0 0; border-top: 2px solid #1a1a1a; }
.small { color: #595959; font-size: 0.88rem; }
.tiles { display: grid; grid-template-columns: repeat(auto-fit, minmax(17rem, 1fr)); gap: 0.8rem; margin: 0.8rem 0;
  padding: 0; }
.tiles div { border: 1px solid #b0b0b0; border-left: 5px solid #0072b2; padding: 0.5rem 0.8rem; }
.tiles dt { font-size: 0.88rem; color: #595959; }
.tiles dd { margin: 0; }
.tiles .figure { font-size: 1.55rem; font-weight: 700; line-height: 1.25; }
figure { margin: 0.6rem 0; }
figcaption { font-weight: 600; margin: 0 0 0.2rem; }
svg { display: block; max-width: 100%; height: auto; overflow: visible; }
.map svg { width: 100%; }
.map path { scroll-margin-top: 16rem; }
.map path:target { stroke: #000000; stroke-width: 0.9; fill-opacity: 1; }
.figures { display: grid; grid-template-columns: repeat(auto-fit, minmax(20rem, 1fr)); gap: 0.5rem 1.5rem; }
.figures svg { width: 100%; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; font-size: 0.9rem; margin: 0.5rem 0 0.8rem; font-variant-numeric: tabular-nums; }
caption { text-align: left; font-weight: 600; padding: 0 0 0.3rem; }
th, td { text-align: left; vertical-align: top; padding: 0.22rem 0.6rem; border-bottom: 1px solid #d0d0d0; }
thead th { border-bottom: 2px solid #1a1a1a; vertical-align: bottom; }
.n { text-align: right; }
td.n, th.id, .word { white-space: nowrap; }
h1, h2, p, li, dt, dd, figcaption, caption, tbody th, td { overflow-wrap: anywhere; }
td.ask { min-width: 24rem; }
th.long { min-width: 9rem; max-width: 16rem; }
tr.chosen th, tr.chosen td { font-weight: 700; }
tr.all td, tr.all th { border-top: 2px solid #1a1a1a; font-weight: 700; }
tbody th { font-weight: 400; }
tr:target { background: #fff3c4; }
thead button { font: inherit; font-weight: 700; color: inherit; background: none; border: 0; padding: 0; cursor: pointer;
  text-align: inherit; text-decoration: underline dotted; }
th[aria-sort=ascending] button::after { content: " \25B2"; }
th[aria-sort=descending] button::after { content: " \25BC"; }
.tools { display: flex; flex-wrap: wrap; gap: 0.6rem 1.2rem; align-items: end; margin: 0.5rem 0; }
.tools[hidden] { display: none; }
.tools label { display: grid; font-size: 0.88rem; color: #595959; }
.tools input, .tools select { font: inherit; color: #1a1a1a; padding: 0.25rem 0.4rem; border: 1px solid #595959;
  background: #ffffff; }
.blank { display: inline-block; min-width: 8rem; border-bottom: 1px solid #1a1a1a; }
.blank.long { min-width: 18rem; }
.answer { display: block; height: 1.9rem; border-bottom: 1px solid #1a1a1a; margin: 0 0 0.9rem; }
.back { margin-left: 1.2rem; }
.pair { display: grid; grid-template-columns: repeat(auto-fit, minmax(22rem, 1fr)); gap: 0 2rem; }
.caution { border: 2px solid #1a1a1a; padding: 0.6rem 1rem; }
.printed { display: none; }
@page { margin: 14mm; }
@media print {
  html { font-size: 9.5pt; }
  body { max-width: none; padding: 0 0.4mm; line-height: 1.35; }
  .sheet { font-size: 8.6pt; line-height: 1.28; }
  .sheet h1 { font-size: 15pt; }
  .sheet h2 { font-size: 11.5pt; margin: 0 0 1mm; }
  .sheet p { margin: 0.8mm 0 1.2mm; }
  .sheet .part { margin-top: 2.6mm; padding-top: 1.2mm; border-top-width: 1px; }
  .sheet .tiles { gap: 1.6mm; margin: 1.2mm 0; }
  .sheet .tiles div { padding: 0.8mm 2mm; }
  .sheet .tiles .figure { font-size: 12.5pt; }
  .sheet ul, .sheet ol { margin: 0.8mm 0; padding-left: 5mm; }
  .sheet figure { margin: 0.8mm 0; }
  .sheet .map svg { max-width: 178mm; }
  .sheet .answer { height: 5mm; margin: 0 0 1.6mm; }
  .sheet table { margin: 0.8mm 0 1.2mm; }
  .sheet li, .sheet .whole { break-inside: avoid; }
  .sheet .caution { padding: 1mm 3mm; }
  .sheet .caution p { margin: 0 0 1mm; }
  .two { columns: 2; column-gap: 7mm; }
  .two > * { break-inside: avoid; }
  .pair { grid-template-columns: 1fr 1fr; gap: 0 7mm; }
  .back { display: none; }
  p { max-width: none; }
  h1 { font-size: 18pt; }
  h2 { font-size: 13pt; break-after: avoid; }
  h3, caption, figcaption { break-after: avoid; }
  nav, .tools, .skip { display: none !important; }
  a { color: inherit; text-decoration: none; }
  .part { margin-top: 6mm; padding-top: 2mm; }
  .leaf { break-before: page; border-top: 0; }
  figure, .tiles, .tiles div, .caution, tr { break-inside: avoid; }
  .figures { grid-template-columns: 1fr 1fr; gap: 2mm 8mm; }
  .tiles { grid-template-columns: repeat(3, 1fr); gap: 3mm; }
  .tiles .figure { font-size: 14pt; }
  .scroll { overflow: visible; }
  table { font-size: 8pt; }
  table.ranked { font-size: 7.5pt; }
  td.ask { min-width: 62mm; font-size: 6.8pt; line-height: 1.2; }
  .ranked .word { white-space: normal; }
  .ranked .plus { display: none; }
  p, li { orphans: 3; widows: 3; }
  tbody tr:first-child { break-after: avoid; }
  tbody tr:last-child { break-before: avoid; }
  #cautions, #made > p { break-inside: avoid; }
  th.stays { min-width: 14mm; }
  th.long { min-width: 22mm; max-width: 34mm; }
  .sheet-link { display: none; }
  th, td { padding: 0.5mm 1.1mm; }
  thead { display: table-header-group; break-inside: avoid; }
  table.ranked tbody tr:nth-child(n+51) { display: none; }
  thead button { display: contents; }
  .printed { display: block; }
}
)css";

// Sorts and filters the tables of class "ranked". Texts are only ever read from the page and never written as markup.
constexpr std::string_view kScript = R"js(
(function () {
  'use strict';
  function value(row, column) {
    var cell = row.cells[column];
    var text = cell.hasAttribute('data-v') ? cell.getAttribute('data-v') : cell.textContent.trim();
    var number = Number(text.replace(' %', ''));
    return text === '' || text === '-' ? null : isNaN(number) ? text.toLowerCase() : number;
  }
  function compare(a, b, down) {
    if (a === null || b === null) { return a === b ? 0 : a === null ? 1 : -1; }
    var order = typeof a === typeof b ? (a < b ? -1 : a > b ? 1 : 0) : typeof a === 'number' ? -1 : 1;
    return down ? -order : order;
  }
  function sortable(table) {
    var heads = table.tHead.rows[0].cells;
    Array.prototype.forEach.call(heads, function (head, column) {
      var button = document.createElement('button');
      button.type = 'button';
      while (head.firstChild) { button.appendChild(head.firstChild); }
      head.appendChild(button);
      button.addEventListener('click', function () {
        var down = head.getAttribute('aria-sort') === 'ascending';
        Array.prototype.forEach.call(heads, function (other) { other.removeAttribute('aria-sort'); });
        head.setAttribute('aria-sort', down ? 'descending' : 'ascending');
        var body = table.tBodies[0];
        var rows = Array.prototype.map.call(body.rows, function (row, i) { return { row: row, v: value(row, column), i: i }; });
        rows.sort(function (a, b) { return compare(a.v, b.v, down) || a.i - b.i; });
        var all = document.createDocumentFragment();
        rows.forEach(function (one) { all.appendChild(one.row); });
        body.appendChild(all);
      });
    });
  }
  function filtered(table, tools) {
    var text = tools.querySelector('input');
    var choice = tools.querySelector('select');
    var told = tools.querySelector('[aria-live]');
    function look() {
      var wanted = text.value.trim().toLowerCase();
      var shown = 0;
      Array.prototype.forEach.call(table.tBodies[0].rows, function (row) {
        var fits = row.textContent.toLowerCase().indexOf(wanted) >= 0 &&
          (!choice.value || row.getAttribute('data-delivery') === choice.value);
        row.hidden = !fits;
        shown += fits ? 1 : 0;
      });
      told.textContent = shown + ' of ' + table.tBodies[0].rows.length + ' rows';
    }
    text.addEventListener('input', look);
    choice.addEventListener('change', look);
    tools.hidden = false;
    look();
  }
  Array.prototype.forEach.call(document.querySelectorAll('table.ranked'), function (table) {
    sortable(table);
    var tools = document.getElementById(table.id + '-tools');
    if (tools) { filtered(table, tools); }
  });
}());
)js";

constexpr std::string_view kHead = R"html(<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{{FRAME_POLICY}}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>{{TITLE}}</title>
<style>{{MARKUP_FRAME_STYLE:none}}</style>
</head>
<body>
)html";
constexpr std::string_view kFoot = R"html(<script>{{MARKUP_FRAME_SCRIPT:none}}</script>
</body>
</html>
)html";

std::string sha256_base64(std::string_view text) {
    constexpr int kBase = 16;
    const std::string hex = sha256_hex(std::span(reinterpret_cast<const unsigned char*>(text.data()), text.size()));
    std::vector<std::uint8_t> bytes;
    for (std::size_t i = 0; i < hex.size(); i += 2) {
        bytes.push_back(static_cast<std::uint8_t>(std::stoi(hex.substr(i, 2), nullptr, kBase)));
    }
    return base64(bytes);
}

}  // namespace

std::string content_policy() {
    return fmt::format(
        "default-src 'none'; img-src data:; style-src 'sha256-{}'; script-src 'sha256-{}'; base-uri 'none'; "
        "form-action 'none'",
        sha256_base64(kStyle), sha256_base64(kScript));
}

std::string framed_page(std::string_view body_template, const std::string& title, PageValues& values) {
    values.text("TITLE", title);
    values.text("FRAME_POLICY", content_policy());
    values.markup("MARKUP_FRAME_STYLE", Markup(std::string(kStyle)));
    values.markup("MARKUP_FRAME_SCRIPT", Markup(std::string(kScript)));
    std::string all(kReportMark);
    all += kHead;
    all += body_template;
    all += kFoot;
    return page(all, values);
}

}  // namespace eaveshed
