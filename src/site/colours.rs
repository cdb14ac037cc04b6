//! A company's colors over those of the stylesheet; those of a dark page are derived.

use crate::colour::Colour;
use crate::load::Colours;

/// What the stylesheet ends with; nothing if a course has no colors of its own.
pub(crate) fn sheet(colours: &Colours) -> String {
    let read = |text: &Option<String>| text.as_deref().and_then(Colour::read);
    let (band, link) = (read(&colours.band), read(&colours.link));
    let (mut light, mut dark) = (String::new(), String::new());
    let mut set = |name: &str, in_light: Colour, in_dark: Colour| {
        light.push_str(&format!(" --tk-{name}: {};", in_light.written()));
        dark.push_str(&format!(" --tk-{name}: {};", in_dark.written()));
    };
    if let Some(band) = band {
        let dimmed = band.band_in_the_dark();
        set("cover", band, dimmed);
        set("on-cover", band.ink(), dimmed.ink());
        set("spine", band.readable_on_light(), band.text_in_the_dark());
    }
    if let Some(link) = link {
        set("link", link, link.text_in_the_dark());
    }
    if light.is_empty() {
        return String::new();
    }
    format!(
        "\n/* Colours of the company's own; those for a dark screen are derived from them. */\n\n@media screen {{ :root {{{light} }} }}\n@media screen and (prefers-color-scheme: dark) {{ :root {{{dark} }} }}\n"
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::stock;

    #[test]
    fn a_course_without_colors_keeps_the_stylesheet_as_it_is() {
        assert_eq!(sheet(&Colours::default()), "");
    }

    #[test]
    fn a_glaring_band_is_dimmed_on_a_dark_screen_and_its_text_stays_readable() {
        let colours = Colours { band: Some("#ffd400".to_owned()), link: Some("#7a1f5c".to_owned()) };
        let sheet = sheet(&colours);
        assert!(sheet.contains("--tk-cover: #ffd400; --tk-on-cover: #0f1f18;"), "{sheet}");
        let dark = sheet.rsplit_once("dark").map_or("", |(_, dark)| dark);
        let value = |name: &str| {
            let rest = dark.split_once(&format!("--tk-{name}: ")).map_or("", |(_, rest)| rest);
            Colour::read(rest.split(';').next().unwrap_or_default()).unwrap_or_else(|| panic!("{name} in {dark}"))
        };
        assert!(value("cover").contrast(value("on-cover")) >= 7.0);
        assert!(value("link").least_contrast(&stock::DARK) >= 7.0);
    }
}
