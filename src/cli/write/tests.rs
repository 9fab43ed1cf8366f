//! Writing to a real disk, and what must survive it.

use std::{process::Command, thread, time::Duration};

use tempfile::TempDir;

use super::*;

fn folder() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = fs::canonicalize(folder.path()).unwrap();
    (folder, path)
}

fn put_text(path: &Path, inputs: &[PathBuf], text: &str) -> io::Result<Outcome> {
    put(path, inputs, &mut |out| out.write_all(text.as_bytes()))
}

fn refusal(result: io::Result<Outcome>) -> Refusal {
    Refusal::of(&result.unwrap_err()).unwrap().clone()
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn a_new_file_is_written_and_an_old_one_replaced() {
    let (_keep, folder) = folder();
    let path = folder.join("plan.html");
    assert_eq!(put_text(&path, &[], "one").unwrap(), Outcome::Written);
    assert_eq!(put_text(&path, &[], "two").unwrap(), Outcome::Written);
    assert_eq!(fs::read_to_string(&path).unwrap(), "two");
    assert_eq!(names(&folder), ["plan.html"]);
}

#[test]
fn row_81_nothing_is_written_when_nothing_changes() {
    let (_keep, folder) = folder();
    let path = folder.join("a.job");
    let long = "wall\n".repeat(10_000);
    fs::write(&path, &long).unwrap();
    let state = || {
        let metadata = fs::metadata(&path).unwrap();
        (metadata.modified().unwrap(), metadata.len())
    };
    let before = state();
    thread::sleep(Duration::from_millis(20));
    assert_eq!(put_text(&path, &[], &long).unwrap(), Outcome::Unchanged);
    assert_eq!(state(), before);
    let other = format!("{}wing\n", &long[..long.len() - 5]);
    assert_eq!(put_text(&path, &[], &other).unwrap(), Outcome::Written);
    assert_ne!(state(), before);
    assert_eq!(fs::read_to_string(&path).unwrap(), other);
}

#[cfg(unix)]
#[test]
fn row_81_the_mode_is_kept_and_a_new_file_gets_the_usual_one() {
    use std::os::unix::fs::PermissionsExt;
    let (_keep, folder) = folder();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o7777;
    for kept in [0o664, 0o640, 0o600, 0o755] {
        let path = folder.join("old");
        fs::write(&path, "old").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(kept)).unwrap();
        put_text(&path, &[], &format!("{kept}")).unwrap();
        assert_eq!(mode(&path), kept);
    }
    let usual = folder.join("usual");
    File::create(&usual).unwrap();
    put_text(&folder.join("new"), &[], "new").unwrap();
    assert_eq!(mode(&folder.join("new")), mode(&usual));
}

#[test]
fn row_64_the_old_file_stays_whole_when_the_writer_fails_half_way() {
    let (_keep, folder) = folder();
    let path = folder.join("plan.html");
    fs::write(&path, "old").unwrap();
    for target in [path.clone(), folder.join("new.html")] {
        let error = put(&target, &[], &mut |out| {
            out.write_all(&[b'x'; 100_000])?;
            Err(ErrorKind::StorageFull.into())
        });
        assert_eq!(error.unwrap_err().kind(), ErrorKind::StorageFull);
    }
    assert_eq!(fs::read_to_string(&path).unwrap(), "old");
    assert_eq!(names(&folder), ["plan.html"]);
}

#[test]
fn row_64_a_missing_folder_is_named() {
    let (_keep, folder) = folder();
    let missing = folder.join("no\u{1b}where");
    let error = put_text(&missing.join("plan.html"), &[], "x").unwrap_err();
    assert_eq!(Refusal::of(&error), Some(&Refusal::NoFolder(missing.clone())));
    assert!(error.to_string().ends_with(r"no\u{1b}where` does not exist"), "{error}");
    assert_eq!(refusal(put_text(&folder.join("plan/"), &[], "x")), Refusal::NoFolder(folder.join("plan/")));
    let file = folder.join("file");
    fs::write(&file, "x").unwrap();
    assert_eq!(refusal(put_text(&file.join("plan.html"), &[], "x")), Refusal::NotAFolder(file));
}

#[cfg(unix)]
#[test]
fn row_64_a_read_only_folder_or_file_is_left_alone() {
    use std::os::unix::fs::PermissionsExt;
    let (_keep, folder) = folder();
    let path = folder.join("plan.html");
    fs::write(&path, "old").unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
    assert_eq!(refusal(put_text(&path, &[], "new")), Refusal::Protected);
    fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).unwrap();
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o555)).unwrap();
    let obeyed = File::create(folder.join("probe")).is_err();
    let result = put_text(&path, &[], "new");
    if obeyed {
        assert_eq!(refusal(result), Refusal::Closed { folder: folder.clone(), reason: "no permission".into() });
        assert_eq!(fs::read_to_string(&path).unwrap(), "old");
    } else {
        // The superuser may write everywhere, so here it is written.
        assert_eq!(result.unwrap(), Outcome::Written);
        assert_eq!(fs::read_to_string(&path).unwrap(), "new");
    }
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o755)).unwrap();
}

#[cfg(unix)]
#[test]
fn row_65_an_input_is_not_overwritten_under_any_name() {
    use std::os::unix::fs::symlink;
    let (_keep, folder) = folder();
    let (job, link, hard) = (folder.join("a.job"), folder.join("link"), folder.join("hard"));
    fs::write(&job, "job").unwrap();
    symlink("a.job", &link).unwrap();
    fs::hard_link(&job, &hard).unwrap();
    fs::create_dir(folder.join("sub")).unwrap();
    for path in [job.clone(), link, hard, folder.join("sub/../a.job")] {
        let mut asked = false;
        let result = put(&path, std::slice::from_ref(&job), &mut |_| {
            asked = true;
            Ok(())
        });
        assert_eq!(refusal(result), Refusal::Input, "{path:?}");
        assert!(!asked);
    }
    assert_eq!(fs::read_to_string(&job).unwrap(), "job");
    assert_eq!(put_text(&job, &[], "formatted").unwrap(), Outcome::Written);
}

#[cfg(unix)]
#[test]
fn row_65_a_link_stays_a_link() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let (_keep, folder) = folder();
    fs::create_dir(folder.join("real")).unwrap();
    let (real, link) = (folder.join("real/plan.html"), folder.join("plan.html"));
    fs::write(&real, "old").unwrap();
    fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).unwrap();
    symlink("real/plan.html", &link).unwrap();
    put_text(&link, &[], "new").unwrap();
    assert_eq!(fs::read_link(&link).unwrap(), Path::new("real/plan.html"));
    assert_eq!(fs::read_to_string(&real).unwrap(), "new");
    assert_eq!(fs::metadata(&real).unwrap().permissions().mode() & 0o777, 0o640);
    assert_eq!(names(&folder.join("real")), ["plan.html"]);

    symlink("nowhere", folder.join("dangling")).unwrap();
    assert_eq!(refusal(put_text(&folder.join("dangling"), &[], "x")), Refusal::LinkToNothing);
    symlink("loop", folder.join("loop")).unwrap();
    assert!(put_text(&folder.join("loop"), &[], "x").is_err());
    assert!(fs::symlink_metadata(folder.join("loop")).unwrap().is_symlink());
}

#[test]
fn row_65_a_folder_is_not_a_place_to_write() {
    let (_keep, folder) = folder();
    for path in [folder.clone(), folder.join(".."), PathBuf::from("."), PathBuf::from("/")] {
        assert_eq!(refusal(put_text(&path, &[], "x")), Refusal::Folder, "{path:?}");
    }
    assert!(put_text(Path::new(""), &[], "x").is_err());
}

#[cfg(unix)]
#[test]
fn row_65_sockets_and_devices_are_refused() {
    let (_keep, folder) = folder();
    let socket = folder.join("socket");
    let _listener = std::os::unix::net::UnixListener::bind(&socket).unwrap();
    for path in [socket.as_path(), Path::new("/dev/zero")] {
        assert_eq!(refusal(put_text(path, &[], "x")), Refusal::NotAFile);
    }
}

#[cfg(target_os = "linux")]
#[test]
fn row_64_a_full_disk_is_an_error_and_the_null_device_takes_everything() {
    let error = put_text(Path::new("/dev/full"), &[], "x").unwrap_err();
    assert_eq!(error.kind(), ErrorKind::StorageFull);
    assert_eq!(put_text(Path::new("/dev/null"), &[], "x").unwrap(), Outcome::Written);
    assert!(!fs::metadata("/dev/null").unwrap().is_file());
}

#[cfg(unix)]
#[test]
fn row_65_a_pipe_is_written_straight() {
    let (_keep, folder) = folder();
    let pipe = folder.join("pipe");
    assert!(Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    let reader = thread::spawn({
        let pipe = pipe.clone();
        move || fs::read_to_string(pipe).unwrap()
    });
    assert_eq!(put_text(&pipe, &[], "through").unwrap(), Outcome::Written);
    assert_eq!(reader.join().unwrap(), "through");
    assert!(is_pipe(fs::metadata(&pipe).unwrap().file_type()));
}

/// The named test of this file once more, in a process of its own, where it finds `path` in [`given`].
fn again(test: &str, path: &Path) -> Command {
    let mut child = Command::new(std::env::current_exe().unwrap());
    child.args(["--exact", "--nocapture", &format!("cli::write::tests::{test}")]).env(GIVEN, path);
    child
}

const GIVEN: &str = "BATTERBOARD_TEST_GIVEN";

fn given() -> Option<PathBuf> {
    std::env::var_os(GIVEN).map(PathBuf::from)
}

#[test]
fn row_82_a_process_killed_while_writing_leaves_the_old_file() {
    if let Some(path) = given() {
        let _ = put(&path, &[], &mut |out| {
            out.write_all(&[b'x'; 100_000])?;
            std::process::abort()
        });
    }
    let (_keep, folder) = folder();
    let path = folder.join("a.job");
    fs::write(&path, "old").unwrap();
    let child = again("row_82_a_process_killed_while_writing_leaves_the_old_file", &path).output().unwrap();
    assert!(!child.status.success());
    assert_eq!(fs::read_to_string(&path).unwrap(), "old");
    let names = names(&folder);
    assert_eq!(names.len(), 2, "the file it was writing shows that it got there: {names:?}");
    assert!(names[0].starts_with(".batterboard-") && names[1] == "a.job");
}

#[cfg(unix)]
#[test]
fn row_66_standard_output_is_added_to_and_not_cut_off() {
    if given().is_some() {
        put_text(Path::new("/dev/stdout"), &[], "the report\n").unwrap();
        return;
    }
    let (_keep, folder) = folder();
    let log = folder.join("log");
    fs::write(&log, "before\n").unwrap();
    let file = File::options().append(true).open(&log).unwrap();
    let mut child = again("row_66_standard_output_is_added_to_and_not_cut_off", &log);
    assert!(child.stdout(file).status().unwrap().success());
    let log = fs::read_to_string(&log).unwrap();
    assert!(log.starts_with("before\n") && log.contains("the report\n"), "{log}");
}
