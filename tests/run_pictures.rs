//! Pictures of a course: drawings are rewritten, names are written as addresses, and none is dropped silently.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::tags::{Tag, tags};
use published::{Room, original};
use std::fs;

/// A picture of one gray dot.
const PNG: &[u8] = include_bytes!("pictures/pixel.png");

/// The first lesson with these lines for its picture.
fn with_picture(room: &Room, lines: &str) {
    let text = original("lessons/first.md").replace("![a gun](../images/gun.svg)", lines);
    room.write("course/lessons/first.md", text);
}

#[test]
fn a_drawing_is_published_without_a_byte_that_is_not_ours() {
    let room = Room::new("drawing");
    room.course("course");
    let drawing = "<!-- mine --><!DOCTYPE svg [<!ATTLIST svg onload CDATA \"ran()\">]><svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:ed=\"http://example.org/ed\" viewBox=\"0 0 9 9\" ed:at=\"1\"><circle cx='4' cy='4' r='4'/></svg>";
    room.write("course/images/gun.svg", drawing);
    room.publish("course", "site");
    assert_eq!(
        fs::read_to_string(room.path("site/images/gun.svg")).expect("a drawing"),
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"><circle cx=\"4\" cy=\"4\" r=\"4\"/></svg>\n"
    );
}

#[test]
fn a_drawing_that_could_run_is_refused_with_its_place_and_what_to_remove() {
    let room = Room::new("drawing-runs");
    room.course("course");
    let drawing = "<svg xmlns=\"http://www.w3.org/2000/svg\">\n  <g\n   onload=\"ran()\"/>\n  <style>@import url(//example.org/a)</style>\n</svg>\n";
    room.write("course/images/gun.svg", drawing);
    let done = room.run(&["publish", "course", "--to", "site"]);
    assert_eq!(done.code, Some(1), "{}", done.out);
    for told in ["images/gun.svg:3:4", "`onload`", "images/gun.svg:4:3", "`@import`", "Remove it"] {
        assert!(done.err.contains(told), "no {told} in\n{}", done.err);
    }
}

#[test]
fn a_link_never_opens_a_drawing_as_a_page() {
    let room = Room::new("drawing-link");
    room.course("course");
    room.write("course/images/tank.png", PNG);
    with_picture(&room, "See [the gun](../images/gun.svg).");
    let done = room.run(&["publish", "course", "--to", "site"]);
    assert_eq!(done.code, Some(1), "{}", done.out);
    assert!(done.err.contains("link-to-drawing"), "{}", done.err);
    assert!(done.err.contains("`![what it shows](../images/gun.svg)`"), "{}", done.err);
    // What the help says to write is accepted, and pictures of pixels may be linked to.
    with_picture(&room, "![what it shows](../images/gun.svg) [the tank](../images/tank.png)");
    room.publish("course", "site");
    for (page, html) in room.pages("site") {
        // The browser's own picture of the site, made by us, is named in the head and opened by nobody.
        let opened = |tag: &&Tag| tag.get("rel") != Some("icon");
        let tags = tags(&html);
        let linked =
            tags.iter().filter(opened).filter_map(|tag| tag.get("href").map(str::to_owned)).collect::<Vec<_>>();
        assert!(!linked.iter().any(|href| href.to_lowercase().contains(".svg")), "{page}");
    }
}

#[test]
fn every_name_of_a_picture_is_written_as_the_address_of_its_file() {
    let room = Room::new("picture-names");
    room.course("course");
    for (name, address) in [
        ("50%.png", "../images/50%.png"),
        ("a%2fb.png", "../images/a%2fb.png"),
        ("{% raw %}{{ x }}.png", "<../images/{% raw %}{{ x }}.png>"),
        ("my gun.png", "../images/my%20gun.png"),
        ("my tank.png", "<../images/my tank.png>"),
        ("a#b?c.png", "../images/a%23b%3Fc.png"),
        ("'quoted' \"twice\" & <b>.png", "<../images/'quoted' \"twice\" & \\<b\\>.png>"),
        ("é ñ 漢.png", "<../images/é ñ 漢.png>"),
        ("javascript:ran().png", "<../images/javascript:ran().png>"),
    ] {
        room.write(&format!("course/images/{name}"), PNG);
        with_picture(&room, &format!("![a picture]({address})"));
        let done = room.run(&["publish", "course", "--to", "site"]);
        assert_eq!((done.code, done.err.as_str()), (Some(0), ""), "{name}");
        let page = fs::read_to_string(room.path("site/lessons/first.html")).expect("a page");
        let picture = tags(&page).into_iter().find(|tag| tag.get("alt") == Some("a picture")).expect("the picture");
        let src = picture.get("src").expect("an address").to_owned();
        let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-._~/%".contains(&byte);
        assert!(src.bytes().all(plain), "{name}: {src}");
        // Read as a browser reads it, it is the name of the file.
        assert_eq!(decoded(&src), format!("../images/{name}"), "{src}");
        assert!(room.path("site/images").join(name).exists(), "{name}");
        fs::remove_file(room.path("course/images").join(name)).expect("it is there");
    }
}

fn decoded(address: &str) -> String {
    let bytes = address.as_bytes();
    let (mut out, mut at) = (Vec::new(), 0);
    while at < bytes.len() {
        if bytes[at] == b'%' {
            out.push(u8::from_str_radix(&address[at + 1..at + 3], 16).expect("two digits"));
            at += 3;
        } else {
            out.push(bytes[at]);
            at += 1;
        }
    }
    String::from_utf8(out).expect("UTF-8")
}

#[cfg(unix)]
#[test]
fn what_cannot_be_listed_is_reported() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;
    let room = Room::new("unlisted");
    room.course("course");
    room.publish("course", "site");
    let before = room.digests("site");
    let refused = |told: &[&str]| {
        let done = room.run(&["publish", "course", "--to", "site"]);
        assert_eq!(done.code, Some(1), "{told:?}: {}", done.out);
        for told in told {
            assert!(done.err.contains(told), "no {told} in\n{}", done.err);
        }
        assert_eq!(room.digests("site"), before, "{told:?}");
    };
    let odd = room.path("course/images").join(OsStr::from_bytes(b"caf\xe9.png"));
    fs::write(&odd, "x").expect("a file can be written");
    refused(&["folder-unread", "images/caf\u{fffd}.png", "not UTF-8"]);
    fs::remove_file(odd).expect("it is there");
    for folder in ["images", "questions", "lessons"] {
        let (real, kept) = (room.path("course").join(folder), room.path("kept"));
        fs::rename(&real, &kept).expect("it can be moved");
        std::os::unix::fs::symlink("/", &real).expect("a link can be made");
        refused(&["folder-unread", "leads out of the course", folder]);
        fs::remove_file(&real).expect("it is there");
        std::os::unix::fs::symlink("nowhere", &real).expect("a link can be made");
        refused(&["folder-unread", folder]);
        fs::remove_file(&real).expect("it is there");
        fs::rename(kept, real).expect("it can be moved");
    }
    room.publish("course", "site");
    assert_eq!(room.digests("site"), before);
}

/// As for somebody who may not read the folder; the tests may run as root, who may read everything.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_of_pictures_that_may_not_be_read_is_reported() {
    let room = Room::new("unreadable-images");
    room.course("course");
    let images = room.path("course/images");
    let output = std::process::Command::new("strace")
        .args(["-f", "-qq", "-o", "/dev/null", "-e", "trace=openat", "-e", "inject=openat:error=EACCES", "-P"])
        .arg(&images)
        .arg(env!("CARGO_BIN_EXE_tankside"))
        .args(["publish", "course", "--to", "site"])
        .current_dir(room.path(""))
        .output()
        .expect("this test needs the program strace: apt-get install strace");
    let said = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(said.contains("folder-unread") && said.contains("Permission denied"), "{said}");
}
