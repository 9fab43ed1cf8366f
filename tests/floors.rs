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
                for (number, line) in text.lines().enumerate() {
                    for other in used(line) {
                        arrows += 1;
                        let above = FLOORS.iter().position(|rooms| rooms.contains(&other.as_str()));
                        let Some(above) = above else {
                            wrong.push(format!("{}:{}: no floor for `{other}`", path.display(), number + 1));
                            continue;
                        };
                        let stranger = above == floor && other != *room && !FRIENDS.contains(&(*room, other.as_str()));
                        if above > floor || stranger {
                            wrong.push(format!("{}:{}: `{room}` uses `{other}`", path.display(), number + 1));
                        }
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

/// The rooms a line names after `crate::`, single or in braces.
fn used(line: &str) -> Vec<String> {
    let mut out = Vec::new();
    let word = |text: &str| text.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '_').collect::<String>();
    for (at, _) in line.match_indices("crate::") {
        // `$crate::` inside a macro is the same arrow.
        out.push(word(&line[at + "crate::".len()..]));
    }
    // `use crate::{` is written with one room a line.
    let indented = line.strip_prefix("    ").filter(|rest| !rest.starts_with(' '));
    if let Some(rest) = indented {
        let room = word(rest);
        let follows = rest[room.len()..].starts_with("::");
        if follows && FLOORS.iter().any(|rooms| rooms.contains(&room.as_str())) {
            out.push(room);
        }
    }
    out.retain(|room| !room.is_empty());
    out
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
