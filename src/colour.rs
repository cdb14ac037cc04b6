//! Colors of a company: read, checked for contrast, and made fit for a dark screen.
//!
//! Contrast is that of WCAG 2.2 (relative luminance and contrast ratio as defined there).

/// A color of the sRGB space.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Colour {
    red: u8,
    green: u8,
    blue: u8,
}

/// The grounds and inks of the stock look that a company's colors meet; `templates/style/colours-and-sizes.css` has
/// them.
pub mod stock {
    use super::Colour;

    /// Paper and canvas of a light page.
    pub const LIGHT: [Colour; 3] =
        [Colour::new(0xfd, 0xfe, 0xfb), Colour::new(0xf1, 0xf4, 0xec), Colour::new(0xe4, 0xea, 0xe0)];
    /// Paper and canvas of a dark page.
    pub const DARK: [Colour; 3] =
        [Colour::new(0x12, 0x1d, 0x17), Colour::new(0x18, 0x25, 0x1e), Colour::new(0x0a, 0x12, 0x0e)];
    /// The band on top of a page.
    pub const BAND: Colour = Colour::new(0x16, 0x3a, 0x2b);
    /// The band on a dark screen.
    pub const BAND_IN_THE_DARK: Colour = Colour::new(0x0f, 0x2c, 0x20);
    /// Light ink on a colored band.
    pub const WHITE: Colour = Colour::new(0xf6, 0xfa, 0xf1);
    /// Dark ink on a colored band.
    pub const BLACK: Colour = Colour::new(0x0f, 0x1f, 0x18);
}

/// The least contrast of text (WCAG 2.2, success criterion 1.4.3).
pub const LEAST: f64 = 4.5;
/// The contrast that text on a dark screen is derived with (success criterion 1.4.6).
const GOOD: f64 = 7.0;

impl Colour {
    /// A color from its three parts.
    pub const fn new(red: u8, green: u8, blue: u8) -> Self {
        Self { red, green, blue }
    }

    /// Reads `#163a2b`.
    pub fn read(text: &str) -> Option<Self> {
        let digits = text.trim().strip_prefix('#')?;
        if digits.len() != 6 || !digits.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return None;
        }
        let part = |at: usize| u8::from_str_radix(&digits[at..at + 2], 16).ok();
        Some(Self { red: part(0)?, green: part(2)?, blue: part(4)? })
    }

    /// The color that is meant by a name or in another notation of CSS: `navy`, `#eee`, `rgb(0, 0, 128)`; not one that
    /// is partly clear.
    pub fn meant(text: &str) -> Option<Self> {
        // A name of two words is one word in CSS: `forest green`.
        let named = text.chars().all(|letter| letter.is_ascii_alphabetic() || letter == ' ');
        let text = if named { text.replace(' ', "") } else { text.trim().to_owned() };
        let [red, green, blue, opaque] = csscolorparser::parse(&text).ok()?.to_rgba8();
        (opaque == 255).then_some(Self::new(red, green, blue))
    }

    /// Red, green and blue.
    pub fn parts(self) -> [u8; 3] {
        [self.red, self.green, self.blue]
    }

    /// `#163a2b`.
    pub fn written(self) -> String {
        format!("#{:02x}{:02x}{:02x}", self.red, self.green, self.blue)
    }

    /// Relative luminance, 0 to 1.
    fn luminance(self) -> f64 {
        let linear = |part: u8| {
            let part = f64::from(part) / 255.0;
            if part <= 0.04045 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(self.red) + 0.7152 * linear(self.green) + 0.0722 * linear(self.blue)
    }

    /// Contrast ratio with another color, 1 to 21.
    pub fn contrast(self, other: Self) -> f64 {
        let (one, two) = (self.luminance(), other.luminance());
        (one.max(two) + 0.05) / (one.min(two) + 0.05)
    }

    /// The least contrast with any of several grounds.
    pub fn least_contrast(self, grounds: &[Self]) -> f64 {
        grounds.iter().map(|ground| self.contrast(*ground)).fold(f64::INFINITY, f64::min)
    }

    /// The stock ink that can be read best on this color.
    pub fn ink(self) -> Self {
        if self.contrast(stock::WHITE) >= self.contrast(stock::BLACK) { stock::WHITE } else { stock::BLACK }
    }

    /// The share of another color mixed in, 0 to 1.
    pub fn mixed(self, other: Self, share: f64) -> Self {
        // The result lies between two bytes.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "it lies between two bytes")]
        let part = |own: u8, other: u8| (f64::from(own) + (f64::from(other) - f64::from(own)) * share).round() as u8;
        Self::new(part(self.red, other.red), part(self.green, other.green), part(self.blue, other.blue))
    }

    /// The same color with as much black or white mixed in as it takes to be readable on every ground.
    fn readable(self, towards: Self, grounds: &[Self], contrast: f64) -> Self {
        let steps = (0..=100).map(|step| self.mixed(towards, f64::from(step) / 100.0));
        steps.into_iter().find(|colour| colour.least_contrast(grounds) >= contrast).unwrap_or(towards)
    }

    /// The same color, darker, so that it can be read as text on a light page.
    pub fn readable_on_light(self) -> Self {
        self.readable(Self::new(0, 0, 0), &stock::LIGHT, LEAST)
    }

    /// The same color, darker, so that light text can be read on it.
    pub fn readable_as_band(self) -> Self {
        self.readable(Self::new(0, 0, 0), &[stock::WHITE], LEAST)
    }

    /// The same color as a band: darker only where no ink can be read on it.
    pub fn fit_as_band(self) -> Self {
        if self.contrast(self.ink()) < LEAST { self.readable_as_band() } else { self }
    }

    /// The color that replaces a text color on a dark page: the same, lighter.
    pub fn text_in_the_dark(self) -> Self {
        self.readable(Self::new(255, 255, 255), &stock::DARK, GOOD)
    }

    /// The color that replaces a band's color on a dark page: the same, darker, so that it does not glare.
    pub fn band_in_the_dark(self) -> Self {
        self.readable(Self::new(0, 0, 0), &[stock::WHITE], 9.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contrast_is_that_of_the_standard() {
        let (black, white) = (Colour::new(0, 0, 0), Colour::new(255, 255, 255));
        assert!((black.contrast(white) - 21.0).abs() < 1e-9);
        // #767676 on white is the lightest gray that passes 4.5 to 1, and #777777 does not.
        let grey = |part| Colour::new(part, part, part).contrast(white);
        assert!(grey(0x76) >= 4.5 && grey(0x77) < 4.5);
    }

    #[test]
    fn a_color_is_six_digits() {
        assert_eq!(Colour::read("#163A2b").map(Colour::written).as_deref(), Some("#163a2b"));
        for wrong in ["163a2b", "#163a2", "#163a2bb", "#163a2g", "green", "#é3a2b", "#16;}a"] {
            assert_eq!(Colour::read(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn a_color_in_another_notation_is_that_color() {
        for (written, meant) in [
            ("navy", Some("#000080")),
            ("Dark Orange", Some("#ff8c00")),
            ("DarkOrange", Some("#ff8c00")),
            ("#eee", Some("#eeeeee")),
            ("rgb(0, 0, 128)", Some("#000080")),
            ("transparent", None),
            ("our green", None),
            ("", None),
        ] {
            assert_eq!(Colour::meant(written).map(Colour::written).as_deref(), meant, "{written}");
        }
    }

    #[test]
    fn every_color_is_made_readable_on_light_and_dark_and_carries_its_ink() {
        for red in (0..=255).step_by(51) {
            for green in (0..=255).step_by(51) {
                for blue in (0..=255).step_by(51) {
                    let colour = Colour::new(red, green, blue);
                    assert!(colour.contrast(colour.ink()) >= LEAST - 0.5, "{colour:?}");
                    let band = colour.fit_as_band();
                    assert!(band.contrast(band.ink()) >= LEAST);
                    assert!(colour.readable_on_light().least_contrast(&stock::LIGHT) >= LEAST);
                    assert!(colour.text_in_the_dark().least_contrast(&stock::DARK) >= GOOD);
                    let band = colour.band_in_the_dark();
                    assert!(band.contrast(stock::WHITE) >= 9.0 && band.ink() == stock::WHITE);
                }
            }
        }
    }

    #[test]
    fn the_grounds_are_those_of_the_stylesheet() {
        let sheet = crate::embedded::text(&crate::embedded::TEMPLATES, "style/colours-and-sizes.css");
        for colour in [stock::BAND, stock::BAND_IN_THE_DARK] {
            assert!(sheet.contains(&format!("--tk-cover: {};", colour.written())), "cover");
        }
        for (name, colour) in ["paper", "paper-dim", "canvas"].iter().zip(stock::LIGHT) {
            assert!(sheet.contains(&format!("--tk-{name}: {};", colour.written())), "{name}");
        }
        for (name, colour) in ["paper", "paper-dim", "canvas"].iter().zip(stock::DARK) {
            assert!(sheet.contains(&format!("--tk-{name}: {};", colour.written())), "dark {name}");
        }
    }
}
