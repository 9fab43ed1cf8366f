//! Prints a generated job of so many statements: `cargo bench --bench large_job -- 100000 > large.job`.
//!
//! A statement is a line of the file that says something: a block written on one line, or a clause of a longer one. The mix,
//! for every wall of its own: one wall (6 lines), two sections, one set of holes (8 lines) with dowels, one long bar, bars
//! side by side (7 lines), one pour (5 lines), one face made ready, one question, six steps. About two made things (holes,
//! bars, batches) come of each statement, and no findings.

use std::io::{self, BufWriter, Write};

fn main() -> io::Result<()> {
    let count = std::env::args().skip(1).find_map(|arg| arg.parse::<usize>().ok()).unwrap_or(10_000);
    let mut out = BufWriter::new(io::stdout().lock());
    print(count, &mut out)?;
    out.flush()
}

/// Writes a job of at least so many statements.
fn print(count: usize, out: &mut dyn Write) -> io::Result<()> {
    writeln!(out, "job \"Generated job\" {{ show feet; datum \"the bench\" }}")?;
    writeln!(out, "mix bagged {{ bag 80 lb, yields 0.60 ft3; water 2.8 L to 3.8 L }}")?;
    writeln!(out, "resin paste {{ cartridge 22 fl-oz; waste 25% }}")?;
    let mut statements = 3;
    let mut wall = 0;
    while statements < count {
        let n = wall;
        let length = 12 + wall % 7;
        writeln!(
            out,
            "wall wall-{n} {{\n    leg back {length}'-6 1/2\"  // measured along the face\n    corner outside\n    leg side 4'-3\"\n    thick 8\"\n    height -12\" to 26\"\n}}"
        )?;
        writeln!(out, "section low-{n} {{ along wall-{n}.back 0 to 6'; thick 8\"; height -4\" to 12\"; base soil }}")?;
        writeln!(
            out,
            "section high-{n} {{ along wall-{n}.back 6' to wall-{n}.side 3'; thick 8\"; height -4\" to low-{n}.top + 8\"; base soil }}"
        )?;
        writeln!(
            out,
            "holes pins-{n} {{\n    into wall-{n}\n    along low-{n}, high-{n}\n    rows height 4\", 9\"\n    inset 5\", at corners 9\"\n    space at most 14\"\n    bore 5/8\" by 5 1/2\"\n    fill paste\n}}"
        )?;
        writeln!(out, "bars pegs-{n} {{ size #4; in pins-{n}; out 5 1/2\" }}  // straight")?;
        writeln!(
            out,
            "bars rails-{n} {{ size #4; along low-{n}, high-{n}; rows height 3 1/2\", 9 1/2\"; offset 4 1/2\" }}"
        )?;
        writeln!(
            out,
            "bars rises-{n} {{\n    size #4\n    along high-{n}\n    space at most 12\"\n    inset 4\", at end 12\"\n    from offset 6 1/4\", height -3/4\"\n    legs up 18\", right 8\"\n}}"
        )?;
        writeln!(
            out,
            "pour pour-{n} {{\n    fill low-{n}, high-{n}\n    mix bagged\n    mixer 2 bags\n    carry 3 gal\n    waste 8%\n}}"
        )?;
        writeln!(out, "prepare face-{n} {{ of low-{n}, high-{n}; roughen 1/4\" }}")?;
        writeln!(out, "ask lines-{n} \"Are there cables or pipes?\" {{ about lines; before drill-{n} }}")?;
        writeln!(out, "step scan-{n} \"Look for steel and lines\" {{ work scan pins-{n} }}")?;
        writeln!(out, "step drill-{n} \"Drill and clean the holes\" {{ work drill pins-{n}; takes 6 min each }}")?;
        writeln!(out, "step rough-{n} \"Roughen the old face\" {{ work prepare face-{n} }}")?;
        writeln!(out, "step peg-{n} \"Set the dowels\" {{ work set pegs-{n}; takes 4 min each }}")?;
        writeln!(out, "step cage-{n} \"Place and tie the bars\" {{ work place rails-{n}, rises-{n}; after peg-{n} }}")?;
        writeln!(out, "step cast-{n} \"Mix, place and rod the concrete\" {{ work pour pour-{n}; after cage-{n} }}")?;
        statements += 40;
        wall += 1;
    }
    Ok(())
}
