//! Drawings that ran a script when opened by themselves, or tried to, and drawings as people really make them.

use super::written_anew;
use crate::problem::Source;

/// Ways to run or to reach out; each between the lines of a drawing that is otherwise good.
const HOSTILE: &[(&str, &str)] = &[
    ("a script", "<script>ran()</script>"),
    ("a script with an address", "<script href=\"data:text/javascript,ran()\"/>"),
    ("a script in a name space of its own prefix", "<s:script xmlns:s=\"http://www.w3.org/2000/svg\">ran()</s:script>"),
    ("a script of XHTML", "<h:script xmlns:h=\"http://www.w3.org/1999/xhtml\">ran()</h:script>"),
    ("a script of no name space", "<script xmlns=\"\">ran()</script>"),
    ("a script in character data", "<script><![CDATA[ran()]]></script>"),
    ("an event", "<g onload=\"ran()\"/>"),
    ("an event after a line's end", "<g\nonload=\"ran()\"/>"),
    ("an event after a tab", "<g\tonload=\"ran()\"/>"),
    ("an event after a carriage return", "<g\ronload=\"ran()\"/>"),
    ("an event with blanks before its sign", "<g onload \n = 'ran()'/>"),
    ("an event in capitals", "<g onLoad=\"ran()\"/>"),
    ("an event written with references", "<g onclick=\"&#114;an()\"/>"),
    (
        "a foreign object",
        "<foreignObject><b xmlns=\"http://www.w3.org/1999/xhtml\" onclick=\"ran()\">x</b></foreignObject>",
    ),
    ("a foreign object with a prefix", "<s:foreignObject xmlns:s=\"http://www.w3.org/2000/svg\"/>"),
    ("a frame of XHTML", "<iframe xmlns=\"http://www.w3.org/1999/xhtml\" srcdoc=\"&lt;script>ran()&lt;/script>\"/>"),
    ("a picture of XHTML", "<img xmlns=\"http://www.w3.org/1999/xhtml\" src=\"x\" onerror=\"ran()\"/>"),
    ("a link to a script", "<a href=\"javascript:ran()\"><path d=\"M0 0\"/></a>"),
    ("a link to a script, by references", "<a href=\"java&#115;cript:ran()\"><path d=\"M0 0\"/></a>"),
    ("a link by the older attribute", "<a xlink:href=\"javascript:ran()\"><path d=\"M0 0\"/></a>"),
    ("a link by another prefix", "<a xmlns:x=\"http://www.w3.org/1999/xlink\" x:href=\"javascript:ran()\"/>"),
    ("a link that moves in", "<animate href=\"#a\" attributeName=\"href\" to=\"javascript:ran()\"/>"),
    ("a link that is set", "<set attributeName=\"onclick\" to=\"ran()\"/>"),
    ("a use from elsewhere", "<use href=\"https://example.org/a.svg#b\"/>"),
    ("a use of data", "<use href=\"data:image/svg+xml;base64,PHN2Zz48L3N2Zz4=#b\"/>"),
    ("a picture from elsewhere", "<image href=\"https://example.org/a.png\"/>"),
    ("a drawing in a drawing", "<image href=\"data:image/svg+xml,&lt;svg onload='ran()'/>\"/>"),
    ("a filter from elsewhere", "<filter><feImage href=\"https://example.org/a.png\"/></filter>"),
    ("a stylesheet that loads", "<style>@import url(https://example.org/a.css);</style>"),
    ("a stylesheet in character data", "<style><![CDATA[g { fill: url(//example.org/a) }]]></style>"),
    ("a style that loads", "<g style=\"fill:url(https://example.org/a)\"/>"),
    ("paint that loads", "<g fill=\"url('https://example.org/a.svg#b')\"/>"),
    ("an entity that is a script", "&ran;"),
    ("a handler", "<handler xmlns:ev=\"http://www.w3.org/2001/xml-events\" ev:event=\"load\">ran()</handler>"),
];

fn drawing(inside: &str) -> Source {
    let text = format!(
        "<?xml version=\"1.0\"?>\n<!DOCTYPE svg [<!ENTITY ran \"<script xmlns='http://www.w3.org/2000/svg'>ran()</script>\">]>\n<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" viewBox=\"0 0 9 9\">\n{inside}\n</svg>\n"
    );
    Source::new("images/a.svg", text)
}

#[test]
fn what_runs_or_reaches_out_is_refused_at_its_place() {
    for (name, inside) in HOSTILE {
        let source = drawing(inside);
        let faults = written_anew(&source).expect_err(name);
        let (line, _) = faults[0].line_column().expect("a place");
        // An entity is found where it is declared or where it is used.
        assert!((2..=5).contains(&line), "{name}: line {line}");
        assert!(faults[0].help.is_some(), "{name}: what to remove is said");
    }
}

#[test]
fn a_document_that_is_no_drawing_is_refused() {
    for text in [
        "<html xmlns=\"http://www.w3.org/1999/xhtml\"><script>ran()</script></html>",
        "<svg><script>ran()</script></svg>",
        "<svg xmlns=\"http://www.w3.org/1999/xhtml\"/>",
        "<?xml version=\"1.0\" encoding=\"ISO-2022-JP\"?><svg xmlns=\"http://www.w3.org/2000/svg\" a=\"\u{1b}$B\" onload=\"ran()\" b=\"\u{1b}(B\"/>",
        "<svg xmlns=\"http://www.w3.org/2000/svg\"",
        "<!DOCTYPE html><script>ran()</script>",
        "",
        "GIF89a",
    ] {
        let faults = written_anew(&Source::new("images/a.svg", text)).expect_err(text);
        assert!(!faults.is_empty());
    }
    let deep = format!("<svg xmlns=\"http://www.w3.org/2000/svg\">{}{}</svg>", "<g>".repeat(9000), "</g>".repeat(9000));
    assert!(written_anew(&Source::new("images/a.svg", deep)).is_err());
    // Entities of entities (a "billion laughs").
    let mut bomb = String::from("<!DOCTYPE svg [<!ENTITY a0 \"ha\">");
    for level in 1..30 {
        let inner = level - 1;
        bomb.push_str(&format!("<!ENTITY a{level} \"&a{inner};&a{inner};&a{inner};&a{inner};\">"));
    }
    bomb.push_str("]><svg xmlns=\"http://www.w3.org/2000/svg\"><title>&a29;</title></svg>");
    assert!(written_anew(&Source::new("images/a.svg", bomb)).is_err());
}

#[test]
fn what_declares_an_attribute_from_outside_has_no_say() {
    let text = "<!DOCTYPE svg [<!ATTLIST svg onload CDATA \"ran()\">]>\n<?xml-stylesheet href=\"a.css\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\"><path d=\"M0 0h9\"/></svg>";
    let anew = written_anew(&Source::new("images/a.svg", text)).expect("a good drawing");
    assert_eq!(anew, "<svg xmlns=\"http://www.w3.org/2000/svg\"><path d=\"M0 0h9\"/></svg>\n");
}

#[test]
fn a_drawing_from_an_editor_is_written_anew_without_what_is_the_editors() {
    let text = r##"<?xml version="1.0" encoding="UTF-8" standalone="no"?>
<!-- Made by hand -->
<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">
<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:ed="http://example.org/editor" viewBox="0 0 40 30" width="40mm" ed:version="9" data-name="Layer 1">
  <ed:view zoom="2"><ed:grid/></ed:view>
  <metadata><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"/></metadata>
  <title>Swath &amp; overlap</title>
  <style>.a{fill:#4a7}</style>
  <defs><linearGradient id="g"><stop offset="0" stop-color="rgb(0,0,0)"/></linearGradient></defs>
  <g ed:label="Pass" class="a" transform="rotate(45) translate(1 2)"><path d="M0 0h9" style="fill:url(#g);stroke:#000"/></g>
  <use xlink:href="#g"/><text x="1" y="2" xml:space="preserve">4 ft &lt; 5 ft</text>
  <image width="1" height="1" href="data:image/png;base64,iVBORw0KGgo="/>
</svg>"##;
    let anew = written_anew(&Source::new("images/a.svg", text)).expect("a good drawing");
    for kept in [
        "viewBox=\"0 0 40 30\" width=\"40mm\">",
        "<title>Swath &amp; overlap</title>",
        "<style>.a{fill:#4a7}</style>",
        "<stop offset=\"0\" stop-color=\"rgb(0,0,0)\"/>",
        "<g class=\"a\" transform=\"rotate(45) translate(1 2)\"><path d=\"M0 0h9\" style=\"fill:url(#g);stroke:#000\"/></g>",
        "<use href=\"#g\"/><text x=\"1\" y=\"2\" xml:space=\"preserve\">4 ft &lt; 5 ft</text>",
        "href=\"data:image/png;base64,iVBORw0KGgo=\"/>",
    ] {
        assert!(anew.contains(kept), "no {kept} in\n{anew}");
    }
    for gone in ["example.org", "<!", "metadata", "rdf", "data-name", "Made by"] {
        assert!(!anew.contains(gone), "{gone} in\n{anew}");
    }
    // Written a second time, it is the same.
    assert_eq!(written_anew(&Source::new("images/a.svg", anew.clone())).expect("good"), anew);
}
