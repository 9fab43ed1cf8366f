//! Reading from a real disk, with everything a disk can hold.

use std::process::Command;

use tempfile::TempDir;

use super::*;

/// A folder with these files, each holding its own name.
fn folder(files: &[&str]) -> (TempDir, PathBuf) {
    let keep = tempfile::tempdir().unwrap();
    let path = fs::canonicalize(keep.path()).unwrap();
    for file in files {
        fs::create_dir_all(path.join(file).parent().unwrap()).unwrap();
        fs::write(path.join(file), file).unwrap();
    }
    (keep, path)
}

fn disk() -> Disk {
    Disk::new(None).unwrap()
}

fn read(disk: &Disk, path: &Path) -> Result<Found, Trouble> {
    disk.read(path.to_str().unwrap(), None)
}

/// The shown name below the folder, and the content.
fn seen(found: Result<Found, Trouble>, folder: &Path) -> (String, String) {
    let found = found.unwrap();
    let name = found.name.strip_prefix(&format!("{}/", folder.display())).unwrap().to_string();
    (name, String::from_utf8(found.bytes).unwrap())
}

#[test]
fn includes_are_relative_to_the_including_file() {
    let (_keep, folder) = folder(&["jobs/porch.job", "shop/shop.job", "shop/bars.job", ".git/HEAD"]);
    let disk = disk();
    let job = read(&disk, &folder.join("jobs/porch.job")).unwrap();
    let shop = disk.read("../shop/shop.job", Some(&job.name)).unwrap();
    assert_eq!(shop.name, format!("{}/shop/shop.job", folder.display()));
    let bars = disk.read("bars.job", Some(&shop.name));
    assert_eq!(seen(bars, &folder), ("shop/bars.job".into(), "shop/bars.job".into()));
    let again = disk.read("../shop/../shop/shop.job", Some(&job.name)).unwrap();
    assert_eq!((&again.name, &again.key), (&shop.name, &shop.key));
    let itself = disk.read("../jobs/porch.job", Some(&shop.name)).unwrap();
    assert_eq!((&itself.name, &itself.key), (&job.name, &job.key));
    let looked = vec![format!("{}/jobs/bars.job", folder.display())];
    assert_eq!(disk.read("bars.job", Some(&job.name)), Err(Trouble::Missing { looked }));
}

#[test]
fn row_67_names_begin_as_the_job_was_given() {
    let (_keep, folder) = folder(&["jobs/porch.job", "shop.job", ".git"]);
    let here = std::env::current_dir().unwrap().canonicalize().unwrap();
    let up = "../".repeat(here.components().count() - 1);
    let given = format!("{up}{}/jobs", folder.display().to_string().trim_start_matches('/'));
    let disk = disk();
    let job = disk.read(&format!("./{given}/porch.job"), None).unwrap();
    assert_eq!(job.name, format!("{given}/porch.job"));
    let shop = disk.read("../shop.job", Some(&job.name)).unwrap();
    assert_eq!(shop.name, format!("{}/shop.job", source::folder(&given)));
    assert_eq!(shop.key, folder.join("shop.job").to_str().unwrap());
}

#[test]
fn row_54_includes_stay_inside_the_root() {
    let (_keep, folder) = folder(&["secret", "repo/.git/HEAD", "repo/a.job", "repo/jobs/porch.job", "plain/b.job"]);
    let disk = disk();
    let porch = read(&disk, &folder.join("repo/jobs/porch.job")).unwrap().name;
    let outside = |root: &str| Err(Trouble::Outside { root: format!("{}/{root}", folder.display()) });
    assert!(disk.read("../a.job", Some(&porch)).is_ok());
    for wanted in ["../../secret", "../../not-there", "../../../../../../../../../etc/passwd", "../../repo/../secret"] {
        assert_eq!(disk.read(wanted, Some(&porch)), outside("repo"), "{wanted}");
    }
    for wanted in ["/etc/passwd", "~/.profile", "C:\\a.job", "\\\\server\\share", "file:///etc/passwd", "http://a"] {
        assert_eq!(disk.read(wanted, Some(&porch)), Err(Trouble::NotRelative), "{wanted}");
    }
    // Without a repository around it, the job's own folder is the root.
    let plain = read(&disk, &folder.join("plain/b.job")).unwrap().name;
    assert_eq!(disk.read("../secret", Some(&plain)), outside("plain"));
}

#[test]
fn row_54_a_root_can_be_given() {
    let (_keep, folder) = folder(&["secret", "all/a.job", "all/jobs/porch.job"]);
    let disk = Disk::new(Some(&folder.join("all"))).unwrap();
    let porch = read(&disk, &folder.join("all/jobs/porch.job")).unwrap().name;
    assert!(disk.read("../a.job", Some(&porch)).is_ok());
    let root = format!("{}/all", folder.display());
    assert_eq!(disk.read("../../secret", Some(&porch)), Err(Trouble::Outside { root }));
    assert!(matches!(Disk::new(Some(&folder.join("none"))), Err(Trouble::Missing { .. })));
    assert!(matches!(Disk::new(Some(&folder.join("secret"))), Err(Trouble::Unreadable(_))));
}

#[cfg(unix)]
#[test]
fn row_55_links_are_followed_before_the_root_is_asked() {
    use std::os::unix::fs::symlink;
    let (_keep, folder) = folder(&["secret.job", "away/b.job", "in/a.job", "in/deep/c.job"]);
    symlink("../secret.job", folder.join("in/out.job")).unwrap();
    symlink("../away", folder.join("in/away")).unwrap();
    symlink("../in/a.job", folder.join("away/back.job")).unwrap();
    symlink("deep/c.job", folder.join("in/c.job")).unwrap();
    symlink("nowhere", folder.join("in/dangling.job")).unwrap();
    symlink("loop.job", folder.join("in/loop.job")).unwrap();
    let disk = disk();
    let job = read(&disk, &folder.join("in/a.job")).unwrap();
    let outside = Err(Trouble::Outside { root: format!("{}/in", folder.display()) });
    for wanted in ["out.job", "away/b.job", "away/back.job"] {
        assert_eq!(disk.read(wanted, Some(&job.name)), outside, "{wanted}");
    }
    let link = disk.read("c.job", Some(&job.name)).unwrap();
    let real = disk.read("deep/c.job", Some(&job.name)).unwrap();
    assert_eq!(link.key, real.key);
    assert_ne!(link.name, real.name);
    assert!(matches!(disk.read("dangling.job", Some(&job.name)), Err(Trouble::Missing { .. })));
    assert!(matches!(disk.read("loop.job", Some(&job.name)), Err(Trouble::Unreadable(_))));
    assert!(matches!(read(&disk, &folder.join("in/loop.job")), Err(Trouble::Unreadable(_))));
    // The job itself is where its user says, and its includes lie beside the name it was given by.
    let given = read(&disk, &folder.join("in/out.job")).unwrap();
    assert_eq!(given.bytes, b"secret.job");
    assert!(disk.read("a.job", Some(&given.name)).is_ok());
}

#[cfg(unix)]
#[test]
fn row_55_two_files_never_share_a_name() {
    use std::os::unix::fs::symlink;
    let (_keep, folder) = folder(&["real/x.job", "real/job.job", "link2/x.job", ".git"]);
    symlink("real", folder.join("link")).unwrap();
    fs::rename(folder.join("link2"), folder.join("link3")).unwrap();
    symlink("real", folder.join("link2")).unwrap();
    let disk = disk();
    let job = read(&disk, &folder.join("link2/job.job")).unwrap();
    let mine = disk.read("x.job", Some(&job.name)).unwrap();
    assert_eq!(mine.name, format!("{}/link2/x.job", folder.display()));
    // Now another folder stands where the link stood.
    fs::remove_file(folder.join("link2")).unwrap();
    fs::rename(folder.join("link3"), folder.join("link2")).unwrap();
    let other = disk.read("../link2/x.job", Some(&job.name)).unwrap();
    assert_ne!(mine.key, other.key);
    assert_eq!(other.name, format!("{}/link2/../link2/x.job", folder.display()));
}

#[cfg(unix)]
#[test]
fn row_55_a_hard_link_is_a_file_like_any_other() {
    let (_keep, folder) = folder(&["away.job", "in/a.job"]);
    fs::hard_link(folder.join("away.job"), folder.join("in/hard.job")).unwrap();
    let disk = disk();
    let job = read(&disk, &folder.join("in/a.job")).unwrap().name;
    assert_eq!(disk.read("hard.job", Some(&job)).unwrap().bytes, b"away.job");
}

#[cfg(unix)]
#[test]
fn row_55_fifo_is_refused() {
    let (_keep, folder) = folder(&["a.job"]);
    let pipe = folder.join("pipe.job");
    assert!(Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    let disk = disk();
    let job = read(&disk, &folder.join("a.job")).unwrap().name;
    assert_eq!(disk.read("pipe.job", Some(&job)), Err(Trouble::NotAFile));
    assert_eq!(read(&disk, &pipe), Err(Trouble::NotAFile));
}

#[cfg(target_os = "linux")]
#[test]
fn row_55_and_83_devices_and_folders_are_refused() {
    let (_keep, folder) = folder(&["a.job", "sub/b.job"]);
    let disk = disk();
    let job = read(&disk, &folder.join("a.job")).unwrap().name;
    assert_eq!(disk.read("sub", Some(&job)), Err(Trouble::NotAFile));
    for path in [folder.as_path(), Path::new("/dev/zero"), Path::new("/dev/null"), Path::new("."), Path::new("/")] {
        assert_eq!(read(&disk, path), Err(Trouble::NotAFile), "{path:?}");
    }
    // It calls itself a regular file, and nothing can be read at its beginning.
    assert!(matches!(disk.read("/proc/self/mem", None), Err(Trouble::Unreadable(_))));
}

#[test]
fn row_55_a_file_is_read_up_to_the_limit() {
    let (_keep, folder) = folder(&["a.job"]);
    let path = folder.join("a.job");
    let file = File::options().write(true).open(&path).unwrap();
    for (limit, disk) in [(LIMIT, disk()), (10, disk().limited(10)), (0, disk().limited(0))] {
        for length in [limit.saturating_sub(1), limit] {
            file.set_len(length).unwrap();
            assert_eq!(read(&disk, &path).unwrap().bytes.len() as u64, length);
        }
        file.set_len(limit + 1).unwrap();
        assert_eq!(read(&disk, &path), Err(Trouble::TooLarge { limit }));
    }
}

#[cfg(target_os = "linux")]
#[test]
fn row_55_a_file_that_tells_no_length_is_still_held_to_the_limit() {
    assert_eq!(fs::metadata("/proc/self/status").unwrap().len(), 0);
    assert_eq!(disk().limited(10).read("/proc/self/status", None), Err(Trouble::TooLarge { limit: 10 }));
}

#[cfg(unix)]
#[test]
fn row_56_a_file_without_permission_is_unreadable() {
    use std::os::unix::fs::PermissionsExt;
    let (_keep, folder) = folder(&["a.job"]);
    let path = folder.join("a.job");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o000)).unwrap();
    let obeyed = File::open(&path).is_err();
    let result = read(&disk(), &path);
    if obeyed {
        assert_eq!(result, Err(Trouble::Unreadable("no permission".into())));
    } else {
        // The superuser may read everything, so here it is read.
        assert_eq!(result.unwrap().bytes, b"a.job");
    }
}

#[cfg(unix)]
#[test]
fn row_56_and_68_names_are_shown_escaped() {
    use std::os::unix::ffi::OsStrExt;
    let (_keep, folder) = folder(&["a\nb\u{1b}[2J.job", "-x.job", "shop.job"]);
    let disk = disk();
    let job = read(&disk, &folder.join("a\nb\u{1b}[2J.job")).unwrap();
    assert_eq!(job.name, format!(r"{}/a\nb\u{{1b}}[2J.job", folder.display()));
    // The name as it is shown still leads to the folder.
    assert!(disk.read("-x.job", Some(&job.name)).is_ok());
    assert!(
        matches!(disk.read("Shop.job", Some(&job.name)), Err(Trouble::Missing { .. })) || cfg!(target_os = "macos")
    );
    assert_eq!(disk.read("CON", Some(&job.name)), Err(Trouble::BadName("CON".into())));
    let raw = OsStr::from_bytes(b"a\xff\x1b.job");
    assert_eq!(argument(raw), Err(Trouble::BadName(r"a\xff\u{1b}.job".into())));
    assert_eq!(argument(OsStr::new("½.job")), Ok("½.job"));
}

#[cfg(target_os = "linux")]
#[test]
fn row_56_a_folder_that_is_not_utf_8_can_hold_a_job_but_not_name_an_include() {
    use std::os::unix::{ffi::OsStrExt, fs::symlink};
    let (_keep, folder) = folder(&["a.job"]);
    let odd = folder.join(OsStr::from_bytes(b"odd\xff"));
    fs::create_dir(&odd).unwrap();
    fs::write(odd.join("b.job"), "b").unwrap();
    symlink(&odd, folder.join("odd")).unwrap();
    let disk = disk();
    let job = read(&disk, &folder.join("a.job")).unwrap().name;
    let bad = Trouble::BadName(format!(r"{}/odd\xff/b.job", folder.display()));
    assert_eq!(disk.read("odd/b.job", Some(&job)), Err(bad));
    let inside = read(&disk, &folder.join("odd/b.job")).unwrap();
    assert!(inside.key.contains(r"\xFF"), "{}", inside.key);
}

#[test]
fn row_56_and_83_long_empty_and_impossible_names() {
    let (_keep, folder) = folder(&["a.job"]);
    let disk = disk();
    let job = read(&disk, &folder.join("a.job")).unwrap().name;
    let longest = "n".repeat(255);
    fs::write(folder.join(&longest), "long").unwrap();
    assert_eq!(disk.read(&longest, Some(&job)).unwrap().bytes, b"long");
    for wanted in ["n".repeat(256), "d/".repeat(3000) + "a.job", "a\0.job".into(), String::new()] {
        for from in [None, Some(job.as_str())] {
            assert!(matches!(disk.read(&wanted, from), Err(Trouble::BadName(_) | Trouble::Missing { .. })));
        }
    }
    assert_eq!(disk.read("a\0.job", None), Err(Trouble::BadName(r"a\u{0}.job".into())));
    for wanted in ["a.job/b.job", "a.job/"] {
        let path = folder.join(wanted);
        assert!(matches!(read(&disk, &path), Err(Trouble::Missing { .. })), "{wanted}");
    }
    assert!(matches!(disk.read("a.job", Some("elsewhere.job")), Err(Trouble::Unreadable(_))));
}

#[test]
fn row_84_standard_input_has_the_same_limit_and_is_read_once() {
    let input = disk().limited(10).with_input(io::repeat(b'x'));
    assert_eq!(input.read("-", None), Err(Trouble::TooLarge { limit: 10 }));
    let input = disk().limited(10).with_input(&b"ten bytes!"[..]);
    let found = input.read("-", None).unwrap();
    assert_eq!((found.name.as_str(), found.bytes.as_slice()), (STANDARD_INPUT, &b"ten bytes!"[..]));
    assert!(matches!(input.read("-", None), Err(Trouble::Unreadable(_))));
    let empty = disk().with_input(io::empty());
    assert_eq!(empty.read("-", None).unwrap().bytes, b"");
    assert!(!waits_for_typing("a.job"));
}

#[test]
fn row_84_includes_of_standard_input_lie_in_the_current_folder() {
    let disk = disk().with_input(io::empty());
    let input = disk.read("-", None).unwrap().name;
    let manifest = disk.read("./Cargo.toml", Some(&input)).unwrap();
    assert_eq!(manifest.name, "Cargo.toml");
    assert_eq!(disk.read("src/../Cargo.toml", Some(&input)).unwrap().key, manifest.key);
}

#[test]
fn row_94_two_thousand_files_are_opened_one_at_a_time() {
    let (_keep, folder) = folder(&["a.job", "shop.job"]);
    let disk = disk();
    for _ in 0..1000 {
        let job = read(&disk, &folder.join("a.job")).unwrap().name;
        disk.read("shop.job", Some(&job)).unwrap();
    }
}

#[cfg(unix)]
#[test]
fn row_94_sixteen_open_files_are_enough() {
    let status = Command::new("sh")
        .args([
            "-c",
            "ulimit -n 16 && exec \"$0\" --exact cli::disk::tests::row_94_two_thousand_files_are_opened_one_at_a_time",
        ])
        .arg(std::env::current_exe().unwrap())
        .output()
        .unwrap();
    let told = String::from_utf8_lossy(&status.stdout);
    assert!(status.status.success() && told.contains("1 passed"), "{told}");
}
