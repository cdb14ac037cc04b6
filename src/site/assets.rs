//! Files that every page shares.

use crate::embedded::{CORE_PARTS, CORE_SCRIPT, CORE_WASM, TEMPLATES, text};
use base64::Engine;
use tankside_calc::json::Value;
use tankside_calc::phrases::Phrases;

/// Stylesheet, scripts, core with its parts, and phrases, by path in the site.
pub(super) fn assets(phrases: &Phrases) -> Vec<(&'static str, Vec<u8>)> {
    let base64 = |bytes: &[u8]| base64::engine::general_purpose::STANDARD.encode(bytes);
    let core = format!("{CORE_SCRIPT}\nconst TANKSIDE_WASM = {{ core: \"{}\" }};\n", base64(CORE_WASM));
    let spoken = phrases.iter().filter(|(key, _)| !key.starts_with("site."));
    let spoken = Phrases::from_pairs(spoken.map(|(key, text)| (key.to_owned(), text.to_owned())));
    let lines = in_script(&Value::from(spoken.to_lines()).line());
    let mut assets = vec![
        ("assets/site.css", text(&TEMPLATES, "site.css").as_bytes().to_vec()),
        ("assets/site.js", text(&TEMPLATES, "site.js").as_bytes().to_vec()),
        ("assets/card.js", text(&TEMPLATES, "card.js").as_bytes().to_vec()),
        ("assets/core.js", core.into_bytes()),
        ("assets/phrases.js", format!("const TANKSIDE_PHRASES = {lines};\n").into_bytes()),
    ];
    for (path, name, bytes) in CORE_PARTS {
        assets.push((path, format!("TANKSIDE_WASM.{name} = \"{}\";\n", base64(bytes)).into_bytes()));
    }
    assets
}

/// JSON as it may stand inside a script: `<` never appears.
pub(super) fn in_script(json: &str) -> String {
    json.replace('<', "\\u003c").replace('\u{2028}', "\\u2028")
}
