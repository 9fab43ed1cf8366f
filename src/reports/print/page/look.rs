//! How the page looks, and its scripts.

/// The style: on a telephone, on a screen light and dark, and on paper, where all is black on white.
pub(super) const STYLE: &str = r#":root {
  --paper: #fbfaf7; --ink: #1c1b19; --soft: #55524c; --line: #8d877c; --band: #efece4; --mark: #1f5f66; --warn: #7a2e00;
}
@media (prefers-color-scheme: dark) {
  :root {
    --paper: #1b1c1d; --ink: #ecebe7; --soft: #b9b5ab; --line: #7d7a73; --band: #2a2b2c; --mark: #8fd0d6; --warn: #ffb68a;
  }
}
* { box-sizing: border-box; }
body {
  margin: 0 auto; padding: 1rem clamp(0.75rem, 3vw, 2rem) 4rem; max-width: 62rem;
  background: var(--paper); color: var(--ink);
  font: 1rem/1.5 "Liberation Sans", "Helvetica Neue", Arial, sans-serif;
}
h1 { font-size: 1.7rem; line-height: 1.2; margin: 0.5rem 0 1rem; }
h2 { font-size: 1.3rem; margin: 2.2rem 0 0.7rem; padding: 0.2rem 0 0.2rem 0.7rem; border-left: 0.5rem solid var(--mark); }
h3 { font-size: 1.1rem; margin: 1.6rem 0 0.5rem; }
h4, h5, h6 { font-size: 1rem; margin: 1.2rem 0 0.4rem; }
p, ul, ol, dl { margin: 0.6rem 0; }
li { margin: 0.2rem 0; }
a { color: var(--mark); }
a:focus-visible, .wide:focus-visible, pre:focus-visible, input:focus-visible, button:focus-visible {
  outline: 3px solid var(--mark); outline-offset: 2px;
}
nav summary { padding: 0.5rem 0; }
nav ol { columns: 17rem; padding-left: 1.8rem; margin: 0 0 1rem; }
nav li { margin: 0; break-inside: avoid; }
nav a { display: inline-block; padding: 0.15rem 0; }
.stamp {
  display: inline-block; margin: 0; padding: 0.3rem 0.8rem; border: 0.2rem solid var(--warn); color: var(--warn);
  letter-spacing: 0.06em; font-weight: 700;
}
.caution { border: 0.15rem solid var(--warn); border-left-width: 0.8rem; padding: 0.5rem 0.8rem; background: var(--band); }
dl > div { display: grid; grid-template-columns: minmax(8rem, 15rem) 1fr; gap: 0 1rem; padding: 0.2rem 0; }
dt { color: var(--soft); font-weight: 700; }
dd { margin: 0; }
@media (max-width: 34rem) { dl > div { grid-template-columns: 1fr; } }
.boxes { list-style: none; padding: 0; }
.boxes > li { padding: 0.5rem 0; border-top: 1px solid var(--line); }
.boxes > li:first-child { border-top: 0; }
.boxes label { display: grid; grid-template-columns: auto 1fr; gap: 0.7rem; cursor: pointer; }
.boxes ul, .boxes .fill { margin: 0.2rem 0 0.2rem 2.2rem; padding-left: 1.2rem; color: var(--soft); }
.boxes .fill { padding-left: 0; display: flex; flex-wrap: wrap; gap: 0.3rem 1.4rem; }
input[type=checkbox] {
  appearance: none; width: 1.5rem; height: 1.5rem; margin: 0; border: 0.14rem solid var(--ink); border-radius: 0.15rem;
  background: transparent; display: inline-grid; place-content: center; vertical-align: middle; cursor: pointer;
}
input[type=checkbox]:checked::before {
  content: ""; width: 0.95rem; height: 0.95rem; background: var(--ink);
  clip-path: polygon(10% 50%, 0 62%, 38% 100%, 100% 14%, 88% 4%, 36% 76%);
}
.boxes label:has(:checked) span { color: var(--soft); text-decoration: line-through; text-decoration-thickness: 1px; }
.blank { display: inline-block; min-width: 7rem; height: 1.3em; border-bottom: 1px solid var(--ink); vertical-align: baseline; }
td .blank { min-width: 3.5rem; }
.blank.long { min-width: min(22rem, 60%); }
.wide { overflow-x: auto; margin: 0.8rem 0; }
table { border-collapse: collapse; font-size: 0.95rem; }
caption { text-align: left; font-weight: 700; padding: 0.3rem 0; }
th, td { padding: 0.35rem 0.7rem; text-align: left; vertical-align: top; border-bottom: 1px solid var(--line); }
thead th { border-bottom: 2px solid var(--ink); background: var(--band); vertical-align: bottom; }
tbody th { font-weight: 400; }
.right { text-align: right; font-variant-numeric: tabular-nums; }
.centre { text-align: center; }
.whole { white-space: nowrap; }
.subtotal > * { border-top: 1px solid var(--ink); font-weight: 700; }
.total > * { border-top: 3px double var(--ink); font-weight: 700; }
pre { overflow-x: auto; padding: 0.6rem 0.8rem; background: var(--band); font: 0.9rem/1.35 "Liberation Mono", Menlo, Consolas, monospace; }
@media screen and (max-width: 44rem) {
  .wide > table { width: max-content; max-width: 46rem; border-collapse: separate; border-spacing: 0; }
  thead th:first-child, tbody th { position: sticky; left: 0; max-width: 9rem; }
  table:has(td:last-child > input) thead th:last-child, td:last-child:has(> input) { position: sticky; right: 0; }
  tbody th, td:last-child:has(> input) { background: var(--paper); }
}
tr:target > *, li:target { background: var(--band); box-shadow: inset 0.35rem 0 var(--mark); }
a.flag { border: 0.13rem solid; padding: 0 0.3rem; font-weight: 700; text-decoration: none; box-decoration-break: clone; }
:target { scroll-margin: 4rem; }
figure { margin: 1.2rem 0; }
figure svg { display: block; max-width: 100%; height: auto; min-width: 34rem; }
button.clear {
  font: inherit; color: var(--ink); background: var(--band); border: 1px solid var(--line); border-radius: 0.3rem;
  padding: 0.4rem 0.9rem; margin: 2rem 0 0; cursor: pointer;
}
@page { margin: 14mm 12mm 16mm; @bottom-right { content: counter(page) " / " counter(pages); } }
@page lying { size: landscape; }
@media print {
  :root { --paper: #fff; --ink: #000; --soft: #222; --line: #777; --band: #eee; --mark: #000; --warn: #000; }
  body { max-width: none; padding: 0; font-size: 10.5pt; line-height: 1.35; }
  nav, button.clear { display: none; }
  h2, h3, h4, caption, thead, thead tr { break-after: avoid; }
  tbody tr:first-child { break-before: avoid; }
  tr, .boxes > li, dl > div, figure, .caution, li, pre { break-inside: avoid; }
  thead { display: table-header-group; }
  .wide { overflow: visible; }
  table { font-size: 9pt; }
  th, td { padding: 0.8mm 1.8mm; }
  td input[type=checkbox] { width: 4mm; height: 4mm; border-width: 0.35mm; }
  td .blank { height: 4mm; }
  figure svg { min-width: 0; max-height: var(--most); }
  .lying, h2:has(+ .lying) { page: lying; }
  a { color: inherit; text-decoration: none; }
}
"#;

/// Ticks are kept under the page's name, on this device. Where nothing may be kept, boxes tick all the same.
pub(super) const TICKS: &str = r#"(function () {
  "use strict";
  var page = "batterboard " + document.body.dataset.page + " ";
  var boxes = document.querySelectorAll("input[type=checkbox]:enabled");
  function kept(id, value) {
    try {
      if (value === undefined) { return localStorage.getItem(page + id); }
      if (value) { localStorage.setItem(page + id, "1"); } else { localStorage.removeItem(page + id); }
    } catch (error) { return null; }
    return null;
  }
  boxes.forEach(function (box) {
    box.checked = kept(box.id) === "1";
    box.addEventListener("change", function () { kept(box.id, box.checked); });
  });
  if (boxes.length > 0) {
    var clear = document.createElement("button");
    clear.type = "button";
    clear.className = "clear";
    clear.textContent = "Untick all boxes";
    clear.addEventListener("click", function () {
      if (!confirm("Untick all boxes of this page on this device?")) { return; }
      boxes.forEach(function (box) { box.checked = false; kept(box.id, false); });
    });
    document.querySelector("main").appendChild(clear);
  }
})();
"#;

/// A served page loads itself anew when it is told to.
pub(super) const RELOAD: &str = r#"(function () {
  "use strict";
  var events = new EventSource("/events");
  events.onmessage = function () { location.reload(); };
})();
"#;
