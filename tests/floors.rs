//! The dependency rule of DEVELOPERS.md: a room uses only rooms on a lower floor, and strangers do not meet.

use std::{
    fs,
    path::{Path, PathBuf},
};

/// Lowest first. Rooms on one line are strangers to each other unless the pair stands in `FRIENDS`.
const FLOORS: &[&[&str]] = &[
    &["source", "cores"],
    &["units"],
    &["problem"],
    &["ledger"],
    &["geometry", "cutting", "standards", "pouring", "scheduling"],
    &["language", "schema", "library"],
    &["job"],
    &["concrete", "yard", "facts"],
    &["curing", "placing", "sitework"],
    &["formwork", "holes"],
    &["steel"],
    &["plan"],
    &["hazards", "outcome"],
    &["buying"],
    &["works"],
    &["checks", "learning"],
    &["drawings"],
    &["compile"],
    &["comparing", "gathering"],
    &["reports"],
    &["cli"],
];

/// Rooms of one floor that may use each other: the user first.
const FRIENDS: &[(&str, &str)] = &[];

#[test]
fn rooms_look_down_only() {
    let mut wrong = Vec::new();
    let mut arrows = 0;
    for (floor, rooms) in FLOORS.iter().enumerate() {
        for room in *rooms {
            for path in files_of(room) {
                let text = fs::read_to_string(&path).unwrap();
                for (number, other) in used(&text) {
                    arrows += 1;
                    let above = FLOORS.iter().position(|rooms| rooms.contains(&other.as_str()));
                    let Some(above) = above else {
                        wrong.push(format!("{}:{}: no floor for `{other}`", path.display(), number));
                        continue;
                    };
                    let stranger = above == floor && other != *room && !FRIENDS.contains(&(*room, other.as_str()));
                    if above > floor || stranger {
                        wrong.push(format!("{}:{}: `{room}` uses `{other}`", path.display(), number));
                    }
                }
            }
        }
    }
    assert!(arrows > 50, "the test reads no arrows any more: {arrows}");
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn every_room_has_its_floor() {
    for entry in fs::read_dir("src").unwrap() {
        let path = entry.unwrap().path();
        let room = path.file_stem().unwrap().to_str().unwrap().to_owned();
        let known = FLOORS.iter().any(|rooms| rooms.contains(&room.as_str()));
        assert!(known || room == "lib" || room == "main", "`{room}` stands on no floor");
    }
}

/// The rooms a text names after `crate::`, single or in braces, each with its line.
fn used(text: &str) -> Vec<(usize, String)> {
    let word = |text: &str| text.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '_').collect::<String>();
    let mut out = Vec::new();
    for (at, arrow) in text.match_indices("crate::") {
        // `$crate::` inside a macro is the same arrow.
        let after = &text[at + arrow.len()..];
        let mut names = vec![(at, word(after))];
        if after.starts_with('{') {
            let mut depth = 0;
            for (offset, letter) in after.char_indices() {
                depth += i32::from(letter == '{') - i32::from(letter == '}');
                let begins = match letter {
                    '{' | ',' => depth == 1,
                    '}' if depth == 0 => break,
                    _ => false,
                };
                if begins {
                    let rest = &after[offset + 1..];
                    let name = rest.trim_start();
                    names.push((at + arrow.len() + offset + 1 + rest.len() - name.len(), word(name)));
                }
            }
        }
        let line = |at: usize| text[..at].matches('\n').count() + 1;
        // `rule` is a macro, of no room.
        out.extend(
            names.into_iter().filter(|(_, name)| !name.is_empty() && name != "rule").map(|(at, name)| (line(at), name)),
        );
    }
    out
}

#[test]
fn arrows_are_read_in_whatever_way_they_are_written() {
    let text = "use crate::{compile::Compiled, cores};\nuse crate::{\n    job::{Job, Thing},\n    units,\n};\nfn f() { crate::plan::g() }\n";
    let found: Vec<(usize, String)> = used(text);
    let names: Vec<(usize, &str)> = found.iter().map(|(line, name)| (*line, name.as_str())).collect();
    assert_eq!(names, [(1, "compile"), (1, "cores"), (3, "job"), (4, "units"), (6, "plan")]);
}

fn files_of(room: &str) -> Vec<PathBuf> {
    let mut out = Vec::new();
    collect(Path::new(&format!("src/{room}.rs")), &mut out);
    collect(Path::new(&format!("src/{room}")), &mut out);
    out
}

fn collect(path: &Path, out: &mut Vec<PathBuf>) {
    if path.is_file() && path.extension().is_some_and(|ending| ending == "rs") {
        out.push(path.into());
    } else if path.is_dir() {
        for entry in fs::read_dir(path).unwrap() {
            collect(&entry.unwrap().path(), out);
        }
    }
}
