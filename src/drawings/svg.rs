//! Drawings as SVG: the same drawing gives the same bytes. No script, no font of its own, nothing fetched.

use std::{collections::BTreeSet, fmt::Write as _};

use super::{
    Drawing,
    scene::{Anchor, Dash, Fill, Group, Ink, Item, Spot, Stroke, Text, Weight},
};

/// The shades, by name: on light paper, on a dark screen.
const SHADES: [(&str, &str, &str); 8] = [
    ("paper", "#ffffff", "#14181b"),
    ("main", "#14202a", "#e8edf0"),
    ("soft", "#65727b", "#97a5ae"),
    ("steel", "#a1330f", "#ff9a70"),
    ("hole", "#0a5583", "#7cc4f2"),
    ("clear", "#6a2a7a", "#d9a3e8"),
    ("wood", "#7a5310", "#dfb46a"),
    ("new", "#eef3ea", "#223028"),
];

/// The shade of old concrete that is looked at.
const OLD_SEEN: (&str, &str) = ("#f1f0ec", "#23272a");

/// The stylesheet of drawings on a page: once a page, for drawings written with `embedded`. Every shade is a custom
/// property (`--drawing-main` and so on) with what is usual behind it; on a dark screen light lines on a dark ground, on
/// paper always dark lines on white.
#[must_use]
pub fn style() -> String {
    let mut out = String::new();
    rules(&mut out, &|name, shade| format!("var(--drawing-{name},{shade})"), false);
    out.push_str("@media screen and (prefers-color-scheme:dark){");
    rules(&mut out, &|name, shade| format!("var(--drawing-{name},{shade})"), true);
    out.push('}');
    out
}

/// The stylesheet of a drawing that stands alone: plain shades first, for programs that know no more.
fn own_style() -> String {
    let mut out = String::new();
    lines(&mut out);
    rules(&mut out, &|_, shade| shade.to_owned(), false);
    out.push_str("@media screen and (prefers-color-scheme:dark){");
    rules(&mut out, &|_, shade| shade.to_owned(), true);
    out.push('}');
    out
}

/// What does not hang on the shade.
fn lines(out: &mut String) {
    out.push_str(
        ".drawing .l{fill:none;stroke-linejoin:round;stroke-linecap:butt}\
.drawing .thin{stroke-width:.18}.drawing .medium{stroke-width:.35}.drawing .bold{stroke-width:.7}\
.drawing .hidden{stroke-dasharray:2 1.1}.drawing .axis{stroke-dasharray:4 .9 .7 .9}\
.drawing text{font-family:\"DejaVu Sans\",Verdana,\"Liberation Sans\",Arial,Helvetica,sans-serif;stroke-linejoin:round;stroke-width:.9;paint-order:stroke}\
.drawing .b{font-weight:bold}.drawing .m{text-anchor:middle}.drawing .e{text-anchor:end}\
.drawing .light{fill-opacity:.14}\
.drawing :target path,.drawing :target circle{stroke-width:1}",
    );
}

fn rules(out: &mut String, shade: &dyn Fn(&str, &str) -> String, dark: bool) {
    if !dark && !out.contains(".drawing .l{") {
        lines(out);
    }
    let pick = |light: &'static str, on_dark: &'static str| if dark { on_dark } else { light };
    for (name, light, on_dark) in SHADES {
        let value = shade(name, pick(light, on_dark));
        let _ = match name {
            "paper" => write!(out, ".drawing .paper{{fill:{value}}}.drawing text{{stroke:{value}}}"),
            "new" => write!(out, ".drawing .new-seen{{fill:{value};fill-opacity:.55}}"),
            _ => write!(out, ".drawing .s-{name}{{stroke:{value}}}.drawing .f-{name}{{fill:{value}}}"),
        };
    }
    let old = shade("old", pick(OLD_SEEN.0, OLD_SEEN.1));
    let _ = write!(out, ".drawing .old-seen{{fill:{old}}}");
}

/// A drawing as SVG: in a page that holds [`style`] and, beside its drawings, these ids to link to; or as a file that stands
/// alone.
#[must_use]
pub fn svg(drawing: &Drawing, page: Option<&BTreeSet<String>>) -> String {
    let mut out = String::with_capacity(16 * 1024);
    let (width, height) = (number(drawing.width), number(drawing.height));
    let id = escaped(&drawing.id);
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"drawing\" id=\"{id}\" viewBox=\"0 0 {width} {height}\" width=\"{width}mm\" height=\"{height}mm\" role=\"{}\" aria-labelledby=\"{id}_title {id}_desc\"",
        // What is a picture to a screen reader has nothing inside that could be followed.
        if leads(drawing, page) { "group" } else { "img" }
    );
    if let Some(view) = drawing.model {
        let _ = write!(
            out,
            " data-per-mm=\"{}\" data-origin-x=\"{}\" data-origin-y=\"{}\"",
            decimals(view.per_mm, 9),
            number(view.origin.x),
            number(view.origin.y)
        );
        if view.turned {
            out.push_str(" data-turned=\"yes\"");
        }
    }
    let _ = write!(
        out,
        ">\n<title id=\"{id}_title\">{}</title>\n<desc id=\"{id}_desc\">{}</desc>\n",
        escaped(&drawing.title),
        escaped(&drawing.description)
    );
    if page.is_none() {
        let _ = writeln!(out, "<style>{}</style>", own_style());
    }
    patterns(&mut out, &id, drawing);
    let _ = writeln!(out, "<rect class=\"paper\" width=\"{width}\" height=\"{height}\"/>");
    write_all(&mut out, &id, &drawing.items, page);
    out.push_str("</svg>\n");
    out
}

/// Where a group leads on this page.
fn led<'g>(group: &'g Group, page: Option<&BTreeSet<String>>) -> Option<&'g str> {
    group.to.as_deref().filter(|to| page.is_some_and(|page| page.contains(*to)))
}

/// Whether anything in a drawing leads anywhere on this page.
fn leads(drawing: &Drawing, page: Option<&BTreeSet<String>>) -> bool {
    let mut stack: Vec<&Item> = drawing.items.iter().collect();
    while let Some(item) = stack.pop() {
        if let Item::Group(group) = item {
            if led(group, page).is_some() {
                return true;
            }
            stack.extend(&group.items);
        }
    }
    false
}

/// An item, or the end of a group.
enum Next<'d> {
    Item(&'d Item),
    End(&'static str),
}

fn write_all(out: &mut String, id: &str, items: &[Item], page: Option<&BTreeSet<String>>) {
    let mut stack: Vec<Next> = items.iter().rev().map(Next::Item).collect();
    while let Some(next) = stack.pop() {
        match next {
            Next::End(tags) => out.push_str(tags),
            Next::Item(Item::Group(group)) => {
                let to = led(group, page);
                open(out, group, to);
                stack.push(Next::End(if to.is_some() { "</g></a>\n" } else { "</g>\n" }));
                stack.extend(group.items.iter().rev().map(Next::Item));
            }
            Next::Item(Item::Text(text)) => write_text(out, text),
            Next::Item(Item::Circle { at, radius, stroke, fill }) => {
                let _ =
                    write!(out, "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"", number(at.x), number(at.y), number(*radius));
                look(out, id, *stroke, *fill);
                out.push_str("/>\n");
            }
            Next::Item(Item::Lines { chains, closed, stroke, fill }) => {
                out.push_str("<path d=\"");
                for chain in chains {
                    path(out, chain, *closed);
                }
                out.push('"');
                if chains.len() > 1 && fill.is_some() {
                    out.push_str(" fill-rule=\"evenodd\"");
                }
                look(out, id, *stroke, *fill);
                out.push_str("/>\n");
            }
        }
    }
}

fn path(out: &mut String, chain: &[Spot], closed: bool) {
    for (at, spot) in chain.iter().enumerate() {
        let _ = write!(out, "{}{} {}", if at == 0 { 'M' } else { 'L' }, number(spot.x), number(spot.y));
    }
    if closed {
        out.push('Z');
    }
}

fn open(out: &mut String, group: &Group, to: Option<&str>) {
    if let Some(to) = to {
        // Hundreds of holes are no stops for the keyboard: their lines in the table lead here, and are.
        let many = if group.id.is_some() { " tabindex=\"-1\"" } else { "" };
        let says = group.title.as_deref().unwrap_or(to);
        let _ = write!(out, "<a href=\"#{}\" aria-label=\"{}\"{many}>", escaped(to), escaped(says));
    }
    out.push_str("<g");
    if let Some(id) = &group.id {
        let _ = write!(out, " id=\"{}\"", escaped(id));
    }
    for (name, value) in &group.data {
        let _ = write!(out, " data-{name}=\"{}\"", escaped(value));
    }
    out.push('>');
    if let Some(title) = &group.title {
        let _ = write!(out, "<title>{}</title>", escaped(title));
    }
    out.push('\n');
}

fn write_text(out: &mut String, text: &Text) {
    let (x, y) = (number(text.at.x), number(text.at.y));
    let _ = write!(out, "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\"", number(text.size));
    if text.angle != 0.0 {
        let _ = write!(out, " transform=\"rotate({} {x} {y})\"", number(text.angle));
    }
    let _ = write!(out, " class=\"f-{}", ink(text.ink));
    out.push_str(match text.anchor {
        Anchor::Start => "",
        Anchor::Middle => " m",
        Anchor::End => " e",
    });
    if text.bold {
        out.push_str(" b");
    }
    let _ = writeln!(out, "\">{}</text>", escaped(&text.says));
}

fn ink(ink: Ink) -> &'static str {
    match ink {
        Ink::Main => "main",
        Ink::Soft => "soft",
        Ink::Steel => "steel",
        Ink::Hole => "hole",
        Ink::Clear => "clear",
        Ink::Wood => "wood",
    }
}

fn look(out: &mut String, id: &str, stroke: Option<Stroke>, fill: Option<Fill>) {
    let mut classes: Vec<String> = Vec::new();
    if let Some(stroke) = stroke {
        let weight = match stroke.weight {
            Weight::Thin => "thin",
            Weight::Medium => "medium",
            Weight::Bold => "bold",
        };
        classes.push(weight.into());
        match stroke.dash {
            Dash::Solid => {}
            Dash::Hidden => classes.push("hidden".into()),
            Dash::Axis => classes.push("axis".into()),
        }
        classes.push(format!("s-{}", ink(stroke.ink)));
    }
    match fill {
        None => classes.insert(0, "l".into()),
        Some(Fill::OldCut | Fill::NewCut | Fill::Ground) => {}
        Some(Fill::OldSeen) => classes.push("old-seen".into()),
        Some(Fill::NewSeen) => classes.push("new-seen".into()),
        Some(Fill::Paper) => classes.push("paper".into()),
        Some(Fill::Full(of)) => classes.push(format!("f-{}", ink(of))),
        Some(Fill::Light(of)) => classes.push(format!("f-{} light", ink(of))),
    }
    if let Some(pattern) = fill.and_then(pattern) {
        let _ = write!(out, " fill=\"url(#{id}_{pattern})\"");
    }
    if !classes.is_empty() {
        let _ = write!(out, " class=\"{}\"", classes.join(" "));
    }
}

fn pattern(fill: Fill) -> Option<&'static str> {
    match fill {
        Fill::OldCut => Some("old"),
        Fill::NewCut => Some("new"),
        Fill::Ground => Some("ground"),
        _ => None,
    }
}

/// The hatches that a drawing uses: slanting lines for old concrete, dots and grains for new, strokes in threes for ground.
fn patterns(out: &mut String, id: &str, drawing: &Drawing) {
    let mut used = [false; 3];
    let mut stack: Vec<&Item> = drawing.items.iter().collect();
    while let Some(item) = stack.pop() {
        match item {
            Item::Group(group) => stack.extend(&group.items),
            Item::Lines { fill, .. } | Item::Circle { fill, .. } => match fill {
                Some(Fill::OldCut) => used[0] = true,
                Some(Fill::NewCut) => used[1] = true,
                Some(Fill::Ground) => used[2] = true,
                _ => {}
            },
            Item::Text(_) => {}
        }
    }
    if used == [false; 3] {
        return;
    }
    out.push_str("<defs>\n");
    let mut hatch = |name: &str, width: f64, height: f64, content: &str| {
        let _ = writeln!(
            out,
            "<pattern id=\"{id}_{name}\" patternUnits=\"userSpaceOnUse\" width=\"{}\" height=\"{}\">{content}</pattern>",
            number(width),
            number(height)
        );
    };
    if used[0] {
        hatch(
            "old",
            2.4,
            2.4,
            "<rect class=\"old-seen\" width=\"2.4\" height=\"2.4\"/><path d=\"M-.3 2.7L2.7 -.3M-.3 .3L.3 -.3M2.1 2.7L2.7 2.1\" class=\"l thin s-soft\"/>",
        );
    }
    if used[1] {
        hatch(
            "new",
            9.0,
            8.0,
            "<rect class=\"paper\" width=\"9\" height=\"8\"/><path d=\"M1 1.9L2.5 1.6L1.7 .5ZM5.6 5.7L7.2 5.9L6.5 4.6ZM7 1.1L8 1.5L7.8 .5Z\" class=\"l thin s-main\"/><path d=\"M4.1 1.2h.3M3.2 3.6h.3M5.9 3h.3M8.1 3.9h.3M1.1 4.9h.3M2.8 6.6h.3M4.3 5.1h.3M8.2 7h.3M.6 7.3h.3M5.2 7.3h.3M2.2 3h.2M7 2.6h.2M4.9 .4h.2\" class=\"l medium s-main\"/>",
        );
    }
    if used[2] {
        hatch(
            "ground",
            7.0,
            7.0,
            "<path d=\"M.4 2.6L2.6 .4M1.3 3.5L3.5 1.3M2.2 4.4L4.4 2.2M4.2 4.2L6.4 6.4M5.1 3.3L6.9 5.1M3.6 5.1L5.5 6.9\" class=\"l thin s-soft\"/>",
        );
    }
    out.push_str("</defs>\n");
}

/// A number with up to four decimals, without dust and without a sign before zero.
fn number(value: f64) -> String {
    decimals(value, 4)
}

fn decimals(value: f64, places: u32) -> String {
    let scale = 10_i64.pow(places);
    let whole = (value * scale as f64).round();
    let whole = if whole.is_finite() && whole.abs() < 9e17 { whole as i64 } else { 0 };
    let (before, after) = (whole.unsigned_abs() / scale.unsigned_abs(), whole.unsigned_abs() % scale.unsigned_abs());
    let mut out = format!("{}{before}", if whole < 0 { "-" } else { "" });
    if after > 0 {
        let digits = format!("{after:0width$}", width = places as usize);
        out.push('.');
        out.push_str(digits.trim_end_matches('0'));
    }
    out
}

/// A text that an XML reader gives back as it is. What no XML may hold is shown as such: control characters and marks that
/// turn the direction of writing as their numbers, what is no character at all as U+FFFD.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            other => out.push(other),
        }
    }
    out
}

/// A text of a job as it is shown on a drawing: everything in it can be seen, and any XML can hold it.
#[must_use]
pub fn shown(text: &str) -> String {
    let text = crate::source::escaped(text);
    text.chars().map(|c| if matches!(u32::from(c) & 0xfffe, 0xfffe) { '\u{fffd}' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_no_dust_and_no_empty_sign() {
        for (value, written) in [
            (0.1 + 0.2, "0.3"),
            (-0.00001, "0"),
            (12.0, "12"),
            (-3.25, "-3.25"),
            (1.00005, "1.0001"),
            (f64::NAN, "0"),
            (0.04, "0.04"),
        ] {
            assert_eq!(number(value), written);
        }
    }

    #[test]
    fn what_no_xml_may_hold_is_shown() {
        let shown = shown("a\u{0}b\u{1b}c\u{202e}d\u{fffe}e");
        assert_eq!(shown, "a\\u{0}b\\u{1b}c\\u{202e}d\u{fffd}e");
        assert_eq!(escaped("<script>\"&'"), "&lt;script&gt;&quot;&amp;&#39;");
    }
}
