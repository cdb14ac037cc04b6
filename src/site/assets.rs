//! Files that every page shares.

use crate::embedded::{TEMPLATES, core_parts, core_script, core_wasm, text};
use base64::Engine;
use tankside_calc::json::Value;
use tankside_calc::phrases::Phrases;

/// Stylesheet, scripts, core with its parts, and phrases, by path in the site.
pub(super) fn assets(phrases: &Phrases) -> Vec<(String, Vec<u8>)> {
    let base64 = |bytes: &[u8]| base64::engine::general_purpose::STANDARD.encode(bytes);
    let core = format!("{}\nconst TANKSIDE_WASM = {{ core: \"{}\" }};\n", core_script(), base64(core_wasm()));
    let spoken = phrases.iter().filter(|(key, _)| !key.starts_with("site."));
    let spoken = Phrases::from_pairs(spoken.map(|(key, text)| (key.to_owned(), text.to_owned())));
    let lines = in_script(&Value::from(spoken.to_lines()).line());
    let mut assets = vec![
        ("assets/site.css".to_owned(), text(&TEMPLATES, "site.css").as_bytes().to_vec()),
        ("assets/site.js".to_owned(), text(&TEMPLATES, "site.js").as_bytes().to_vec()),
        ("assets/card.js".to_owned(), text(&TEMPLATES, "card.js").as_bytes().to_vec()),
        ("assets/core.js".to_owned(), core.into_bytes()),
        ("assets/phrases.js".to_owned(), format!("const TANKSIDE_PHRASES = {lines};\n").into_bytes()),
    ];
    for (name, bytes) in core_parts() {
        let script = format!("TANKSIDE_WASM[\"{name}\"] = \"{}\";\n", base64(bytes));
        assets.push((format!("assets/core-{name}.js"), script.into_bytes()));
    }
    assets
}

/// JSON as it may stand inside a script: `<` never appears.
pub(super) fn in_script(json: &str) -> String {
    json.replace('<', "\\u003c").replace('\u{2028}', "\\u2028")
}
